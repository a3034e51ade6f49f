"""Tyres have come: whoever waited for them is served in their turn, and becomes a hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q

from inventory.activities import answers
from inventory.activities.holding.choosing import asked_skus, choose_set
from inventory.activities.holding.making import hold_chosen
from inventory.activities.holding.refusals import NoSet
from inventory.activities.holding.writing import Purpose
from inventory.activities.ordering.standing import standing_of
from inventory.activities.preordering.keeping import (
    KEPT_FOR,
    keep_axles,
    kept_keys,
    kept_now,
    let_kept_go,
)
from inventory.activities.preordering.planning import Expectations
from inventory.activities.preordering.queueing import end_waiting
from inventory.ground.locking import locked_rows
from inventory.ledger.lapse import lock_shelf
from inventory.models.expected import ExpectedDelivery, ExpectedState
from inventory.models.hold import Hold
from inventory.models.preorder import IfShort, PreOrder, PreOrderLine, PreOrderState
from inventory.models.sale import Order

SHORT = "the batch did not go round"
FILLED = "its order line is held in full"


class _Missed(Exception):
    """The batch did not go round, and they wished to be told."""


@dataclass(frozen=True, slots=True)
class Turn:
    """What became of the queue: holds made in its order, who missed, who goes on waiting.

    kept: holds of whole axles for some of those who wait, until the rest of their sets comes.
    """

    served: tuple[Hold, ...] = ()
    missed: tuple[PreOrder, ...] = ()
    waiting: tuple[PreOrder, ...] = ()
    kept: tuple[Hold, ...] = ()


def serve(*, expected: Collection[int], by: User | None, at: datetime) -> Turn:
    """Serve whoever waits for these expected deliveries (by key), or for ended ones of their SKUs.

    In the order of the queue, each as far as a whole set can be had; one that cannot goes on
    waiting while something of it is to come, and after that as they wished: for the next delivery
    that has room, or given up. For one who waits whole axles are kept, fronts before rears, and
    never less than an axle. ``by`` None: in the name of whoever queued them.
    """
    with transaction.atomic():
        waiting = _in_turn(expected)
        if not waiting:
            return Turn()
        needs = [answers.need_of(one.recipe, one.answer) for one in waiting]
        skus = asked_skus(needs)
        # Whoever serves is named with each posting; what has run out is let go in the same name.
        lock_shelf(skus, by=by or waiting[0].queued_by, at=at, holds=kept_keys(waiting))
        served: list[Hold] = []
        missed: list[PreOrder] = []
        left: list[PreOrder] = []
        kept: list[Hold] = []
        for one in waiting:
            who = by or one.queued_by
            hold = _served(one, by=who, at=at)
            if hold is not None:
                served.append(hold)
            elif one.state == PreOrderState.WAITING:
                waits, axles = _goes_on(one, by=who, at=at)
                (left if waits else missed).append(one)
                kept += [axles] if axles is not None else []
    return Turn(tuple(served), tuple(missed), tuple(left), tuple(kept))


def ended() -> list[int]:
    """The expected deliveries of which nothing more comes, and for which somebody still waits."""
    waits = PreOrderLine.objects.filter(pre_order__state=PreOrderState.WAITING)
    over = waits.exclude(expected__state=ExpectedState.EXPECTED).order_by("expected_id")
    return sorted(set(over.values_list("expected_id", flat=True)))


def _in_turn(expected: Collection[int]) -> list[PreOrder]:
    """Those that wait for these, locked after their orders, in the order of the queue."""
    skus = ExpectedDelivery.objects.filter(pk__in=expected).order_by("pk").values("sku_id")
    counts = PreOrderLine.objects.filter(
        Q(expected__in=expected)
        | Q(expected__sku__in=skus) & ~Q(expected__state=ExpectedState.EXPECTED)
    ).filter(pre_order__state=PreOrderState.WAITING)
    keys = set(counts.order_by("pk").values_list("pre_order_id", flat=True))
    asked = PreOrder.objects.filter(pk__in=keys, order_line__isnull=False).order_by("pk")
    locked_rows(Order.objects.all(), set(asked.values_list("order_line__order_id", flat=True)))
    rows = PreOrder.objects.select_related("customer", "car", "order_line__order", "queued_by")
    found = locked_rows(rows, keys).values()
    still = [one for one in found if one.state == PreOrderState.WAITING]
    return sorted(still, key=lambda one: (one.queued_at, one.pk))


def _served(pre_order: PreOrder, *, by: User, at: datetime) -> Hold | None:
    """The hold that it becomes, if a whole set can be had."""
    line = pre_order.order_line
    if line is not None:
        (stands,) = standing_of([line])
        if not stands.to_hold:
            end_waiting(pre_order, PreOrderState.WITHDRAWN, why=FILLED, by=by, at=at)
            return None
    try:
        with transaction.atomic():
            let_kept_go(pre_order, why="the rest of the set has come", by=by, at=at)
            return _held(pre_order, by=by, at=at)
    except NoSet:
        return None


def _held(pre_order: PreOrder, *, by: User, at: datetime) -> Hold:
    need = answers.need_of(pre_order.recipe, pre_order.answer)
    chosen = choose_set(need, shown=None, other_choice=True, at=at)
    line = pre_order.order_line
    purpose = Purpose(
        customer=pre_order.customer,
        car=pre_order.car,
        what=pre_order.what,
        why=f"{pre_order.number}, queued {pre_order.queued_at:%d.%m.%Y}",
        until=None if line is not None else at + KEPT_FOR,
        order_line=line,
    )
    said = answers.said_of(pre_order.answer)
    pre_order.hold = hold_chosen(purpose, need, chosen, said, by=by, at=at)
    end_waiting(pre_order, PreOrderState.SERVED, why="the tyres have come", by=by, at=at)
    return pre_order.hold


def _goes_on(pre_order: PreOrder, *, by: User, at: datetime) -> tuple[bool, Hold | None]:
    """What is kept of it, and as they wished where the batch did not go round: whether it waits."""
    try:
        with transaction.atomic():
            axles = keep_axles(pre_order, by=by, at=at)
            lines = list(pre_order.lines.select_related("expected").order_by("pk"))
            short = _short(lines, kept_now(pre_order, at=at))
            if short and pre_order.if_short == IfShort.GIVE_UP:
                raise _Missed
    except _Missed:
        end_waiting(pre_order, PreOrderState.MISSED, why=SHORT, by=by, at=at)
        return False, None
    for line, lacks in short:
        _count_on_next(line, lacks)
    return True, axles


def _short(lines: Sequence[PreOrderLine], kept: Hold | None) -> list[tuple[PreOrderLine, int]]:
    """Lines of deliveries of which nothing more comes, with how many of each are not kept."""
    pieces: Counter[int] = Counter()
    for one in kept.lines.select_related("lot") if kept is not None else ():
        pieces[one.lot.sku_id] += one.quantity
    found = []
    for line in lines:
        if line.expected.state != ExpectedState.EXPECTED:
            here = min(line.quantity, pieces[line.expected.sku_id])
            pieces[line.expected.sku_id] -= here
            found += [(line, line.quantity - here)] if here < line.quantity else []
    return found


def _count_on_next(line: PreOrderLine, lacks: int) -> None:
    """Let what a line lacks count on the soonest delivery of its SKU that has room for it.

    What is kept stays a line of the delivery that it came by. Where there is none all stays.
    """
    rows = ExpectedDelivery.objects.still_to_come().filter(sku=line.expected.sku_id)
    taken = PreOrderLine.objects.filter(pre_order=line.pre_order_id).values("expected")
    known = Expectations.of(rows.exclude(pk__in=taken).order_by("expected_on", "pk"))
    row = next((row for row in known.rows if known.room[row.pk] >= lacks), None)
    if row is None:
        return
    if lacks == line.quantity:
        line.expected = row
        line.save(update_fields=["expected"])
        return
    line.quantity -= lacks
    line.save(update_fields=["quantity"])
    PreOrderLine.objects.create(pre_order_id=line.pre_order_id, expected=row, quantity=lacks)
