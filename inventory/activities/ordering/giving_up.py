"""An order, or a line of it, is not wanted any more: what is held for it is free again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q

from inventory.activities.holding.ending import refuse_picked
from inventory.activities.ordering.changing import locked_line
from inventory.activities.ordering.refusals import NothingHasLeft, PartHasLeft, SayWhy
from inventory.activities.picking.inhand import locked_order
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.held import end_holds, locked_holds
from inventory.models.hold import Hold, HoldState
from inventory.models.preorder import PreOrder, PreOrderState
from inventory.models.sale import Order, OrderLine, OrderState


def cancel_line(*, line: OrderLine, why: str, by: User, at: datetime) -> OrderLine:
    """Give up what has not left of a line. An order of which nothing is left ends with it.

    Raises SayWhy, OrderIsClosed, LineIsCancelled, IsBeingPicked, Faulty.
    """
    _say_why(why)
    with transaction.atomic():
        held = locked_line(line)
        _give_up([held], why=why, by=by, at=at)
        rest = held.order.lines.filter(cancelled=False).order_by("position")
        if not any(one.sent < one.quantity for one in rest):
            sent = held.order.lines.filter(sent__gt=0).exists()
            state = OrderState.SENT if sent else OrderState.CANCELLED
            _end(held.order, state, why=why, by=by, at=at)
    return held


def cancel_order(*, order: Order, why: str, by: User, at: datetime) -> Order:
    """Cancel an order of which nothing has left.

    Raises SayWhy, OrderIsClosed, PartHasLeft, IsBeingPicked, Faulty.
    """
    return _all_of(order, sent=False, why=why, by=by, at=at)


def close_order(*, order: Order, why: str, by: User, at: datetime) -> Order:
    """Close an order of which a part has left; the rest is given up.

    Raises SayWhy, OrderIsClosed, NothingHasLeft, IsBeingPicked, Faulty.
    """
    return _all_of(order, sent=True, why=why, by=by, at=at)


def _all_of(order: Order, *, sent: bool, why: str, by: User, at: datetime) -> Order:
    _say_why(why)
    with transaction.atomic():
        held = locked_order(order)
        lines = list(held.lines.order_by("position"))
        if any(line.sent for line in lines) and not sent:
            raise PartHasLeft(held)
        if sent and not any(line.sent for line in lines):
            raise NothingHasLeft(held)
        rest = [line for line in lines if not line.cancelled and line.sent < line.quantity]
        _give_up(rest, why=why, by=by, at=at)
        _end(held, OrderState.SENT if sent else OrderState.CANCELLED, why=why, by=by, at=at)
    return held


def _give_up(lines: Sequence[OrderLine], *, why: str, by: User, at: datetime) -> None:
    """What is held for these lines and what waits for them, of a locked order, is given up."""
    waits = PreOrder.objects.waiting().filter(order_line__in=lines).order_by("pk")
    keys = list(waits.values_list("pk", flat=True).select_for_update(no_key=True))
    ended = {"ended_at": at, "ended_by": by, "ended_why": why.strip()[:240]}
    PreOrder.objects.filter(pk__in=keys).update(state=PreOrderState.WITHDRAWN, **ended)
    kept = Q(kept_for__in=keys, order_line=None)
    rows = Hold.objects.open().filter(Q(order_line__in=lines) | kept).order_by("pk")
    holds = locked_holds(list(rows.values_list("pk", flat=True)))
    standing = [hold for hold in holds.values() if hold.state == HoldState.OPEN]
    refuse_picked(standing)
    end_holds(standing, state=HoldState.RELEASED, why=why, by=by, at=at)
    for line in lines:
        line.cancelled = True
        line.save(update_fields=["cancelled"])


def _end(order: Order, state: OrderState, *, why: str, by: User, at: datetime) -> None:
    order.state, order.ended_at, order.ended_by, order.ended_why = state, at, by, why.strip()
    refuse_faulty(order, ["ended_why"])
    order.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])


def _say_why(why: str) -> None:
    if not why.strip():
        raise SayWhy
