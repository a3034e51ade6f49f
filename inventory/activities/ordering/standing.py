"""How an order stands: of each line what is held, what has left, what is still to be held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Sum

from inventory.models.hold import Hold, HoldLine, HoldState
from inventory.models.sale import Asks, Order, OrderLine


@dataclass(frozen=True, slots=True)
class LineStanding:
    """One order line: sets or pieces held for it now, and how many are still to be held."""

    line: OrderLine
    held: int
    to_hold: int


def standing(order: Order) -> list[LineStanding]:
    """The lines of an order in their order. Three queries."""
    return standing_of(list(order.lines.select_related("sku").order_by("position")))


def standing_of(lines: Sequence[OrderLine]) -> list[LineStanding]:
    """How these lines stand, in their order. Two queries."""
    held = held_of(lines)
    return [_stands(line, held[line.pk]) for line in lines]


def held_of(lines: Sequence[OrderLine]) -> dict[int, int]:
    """By line, what open holds hold for it: sets, or pieces."""
    total = {line.pk: 0 for line in lines}
    sets = [line.pk for line in lines if line.asks == Asks.SETS]
    rows = Hold.objects.filter(order_line__in=sets, state=HoldState.OPEN).order_by("pk")
    for line in rows.values_list("order_line", flat=True):
        total[line] += 1
    pieces = [line.pk for line in lines if line.asks == Asks.PIECES]
    held = HoldLine.objects.filter(hold__order_line__in=pieces, hold__state=HoldState.OPEN)
    sums = held.values("hold__order_line").order_by("hold__order_line")
    for line, quantity in sums.annotate(n=Sum("quantity")).values_list("hold__order_line", "n"):
        total[line] = quantity
    return total


def _stands(line: OrderLine, held: int) -> LineStanding:
    to_hold = 0 if line.cancelled else max(line.quantity - line.sent - held, 0)
    return LineStanding(line, held, to_hold)
