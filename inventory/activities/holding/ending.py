"""A hold is extended or released; by whom and why."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.holding.refusals import (
    HoldHasEnded,
    HoldRanOut,
    IsBeingPicked,
    IsForAnOrder,
    NotLonger,
    SayWhyLonger,
    SayWhyReleased,
)
from inventory.activities.holding.writing import refuse_time
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ledger.held import end_holds, end_lapsed, locked_holds
from inventory.models.hold import Hold, HoldExtension, HoldState
from inventory.models.pick import PickLine, PickLineState, PickListState
from inventory.models.sale import Order


def extend(*, hold: Hold, until: datetime, why: str, by: User, at: datetime) -> Hold:
    """Let a hold run longer, for a reason that is kept with who and when.

    What has run out is not extended: its tyres are others' to have. Raises SayWhyLonger,
    HoldHasEnded, HoldRanOut, IsForAnOrder, NotUntilThen, NotLonger, Faulty.
    """
    if not why.strip():
        raise SayWhyLonger
    with transaction.atomic():
        held = standing(locked_holds([hold.pk])[hold.pk], at=at)
        if held.order_line is not None or held.until is None:
            raise IsForAnOrder(held)
        refuse_time(until, at=at)
        if until <= held.until:
            raise NotLonger(held)
        longer = HoldExtension(
            hold=held, until_before=held.until, until_after=until, why=why.strip(), extended_at=at,
            extended_by=by,
        )  # fmt: skip
        refuse_faulty(longer, ["why"])
        longer.save(force_insert=True)
        held.until = until
        held.save(update_fields=["until"])
    return held


def release(*, hold: Hold, why: str, by: User, at: datetime) -> Hold:
    """Release a hold: its tyres are free again, and an order line goes without.

    One that has run out is ended as such. Raises SayWhyReleased, HoldHasEnded, IsBeingPicked,
    Faulty.
    """
    if not why.strip():
        raise SayWhyReleased
    with transaction.atomic():
        _lock_order(hold)
        held = locked_holds([hold.pk])[hold.pk]
        if held.state != HoldState.OPEN:
            raise HoldHasEnded(held)
        refuse_picked([held])
        if held.lapsed_by(at):
            end_lapsed([held], by=by, at=at)
        else:
            end_holds([held], state=HoldState.RELEASED, why=why, by=by, at=at)
    return held


def standing(hold: Hold, *, at: datetime) -> Hold:
    """The locked hold, if it stands at a moment. Raises HoldHasEnded, HoldRanOut."""
    if hold.state != HoldState.OPEN:
        raise HoldHasEnded(hold)
    if hold.lapsed_by(at):
        raise HoldRanOut(hold)
    return hold


def refuse_picked(holds: Collection[Hold]) -> None:
    """Raise IsBeingPicked for the first of these locked holds that is on a list under way."""
    over = [PickListState.SENT, PickListState.CANCELLED]
    rows = PickLine.objects.filter(hold__in=holds).exclude(pick_list__state__in=over)
    rows = rows.exclude(state=PickLineState.BACK).select_related("pick_list", "hold")
    first = rows.order_by("pk").first()
    if first is not None:
        raise IsBeingPicked(first.hold, first.pick_list)


def _lock_order(hold: Hold) -> None:
    """The order of a hold is locked before it, by whoever picks or sends as well."""
    orders = Hold.objects.filter(pk=hold.pk, order_line__isnull=False).order_by("pk")
    for order in orders.values_list("order_line__order_id", flat=True):
        locked_row(Order.objects.all(), order)
