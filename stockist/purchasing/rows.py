"""Orders to suppliers as pages show them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inventory.models.purchase import PurchaseLine, PurchaseOrder, PurchaseState

_STATES = {
    PurchaseState.DRAFT: ("·", "cannot_tell"),
    PurchaseState.SENT: ("→", "cannot_tell"),
    PurchaseState.PART_RECEIVED: ("→", "caution"),
    PurchaseState.CLOSED: ("✓", "suits"),
    PurchaseState.CANCELLED: ("–", "caution"),
}


@dataclass(frozen=True, slots=True)
class OrderRow:
    """An order with its sign, and how much of it has come."""

    order: PurchaseOrder
    sign: str
    tone: str
    ordered: int
    received: int


def order_row(order: PurchaseOrder) -> OrderRow:
    lines = list(order.lines.all())
    ordered, received = sum(one.quantity for one in lines), sum(one.received for one in lines)
    return OrderRow(order, *_STATES[PurchaseState(order.state)], ordered, received)


@dataclass(frozen=True, slots=True)
class LineSaid:
    """A line of an order, and what became of it in words."""

    line: PurchaseLine
    words: str


def line_said(line: PurchaseLine, *, is_draft: bool) -> LineSaid:
    """What became of an order line so far."""
    if is_draft:
        return LineSaid(line, "not sent yet")
    counts = (
        (line.received, "received"),
        (line.disputed, "in dispute"),
        (line.waived, "will not come"),
        (line.over, "kept beyond the order"),
        (line.to_come, "to come"),
    )
    return LineSaid(line, ", ".join(f"{count} {word}" for count, word in counts if count))


def total_said(order: PurchaseOrder, lines: Sequence[PurchaseLine]) -> str:
    """What the order comes to, or why that cannot be said."""
    unpriced = [str(line.sku) for line in lines if line.unit_price is None]
    if unpriced:
        return f"no price is told for {', '.join(unpriced[:5])}"
    total = sum((line.quantity * (line.unit_price or 0) for line in lines), Decimal(0))
    return f"{total:,.2f} {order.currency}"
