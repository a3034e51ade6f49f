"""The end of a purchase order that did not come to it by itself."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.purchasing.lines import waive
from inventory.activities.purchasing.locking import changed, locked
from inventory.activities.purchasing.refusals import (
    NothingLeft,
    NotSentYet,
    SayWhyEnded,
    SomeHasCome,
)
from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.faults import Faulty
from inventory.models.purchase import PurchaseOrder, PurchaseState


def cancel(
    *, order: PurchaseOrder, why: str, seen: int | None = None, by: User, at: datetime
) -> PurchaseOrder:
    """Cancel an order of which nothing has come; its tyres are no longer expected.

    Raises SayWhyEnded, SomeHasCome, Faulty, OrderHasEnded, ChangedSince.
    """
    _say_why(why)
    with transaction.atomic():
        held = locked(order, seen=seen)
        if held.state == PurchaseState.PART_RECEIVED:
            raise SomeHasCome(held)
        if held.state == PurchaseState.SENT:
            for line in held.lines.select_related("sku").order_by("pk"):
                line.order = held
                waive(line, by=by, at=at)
        held.state, held.ended_at, held.ended_by = PurchaseState.CANCELLED, at, by
        held.ended_why = why.strip()
        held.version += 1
        held.save(update_fields=["state", "ended_at", "ended_by", "ended_why", "version"])
    return held


def give_up_rest(
    *, order: PurchaseOrder, why: str, seen: int | None = None, by: User, at: datetime
) -> PurchaseOrder:
    """Wait no longer for what is still to come; the order closes once nothing is in dispute.

    Raises SayWhyEnded, NotSentYet, NothingLeft, Faulty, OrderHasEnded, ChangedSince.
    """
    _say_why(why)
    with transaction.atomic():
        held = locked(order, seen=seen)
        if held.state == PurchaseState.DRAFT:
            raise NotSentYet(held)
        waiting = [line for line in held.lines.select_related("sku").order_by("pk") if line.to_come]
        if not waiting:
            raise NothingLeft(held)
        for line in waiting:
            line.order = held
            waive(line, by=by, at=at)
        changed(held, by=by, at=at, why=why.strip())
    return held


def _say_why(why: str) -> None:
    if not why.strip():
        raise SayWhyEnded
    faults = list(column_faults(PurchaseOrder(ended_why=why.strip()), ["ended_why"]))
    if faults:
        raise Faulty(faults)
