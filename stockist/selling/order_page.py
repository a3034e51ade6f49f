"""The page of an order: line by line what is asked, held, sent; the lists and what has left."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from inventory.activities import ordering
from inventory.models.hold import HoldLine, HoldState
from inventory.models.sale import Asks, Order, OrderLine, OrderState
from stockist.counter.promising import FOR_ORDER
from stockist.counter.wording import money
from stockist.customers.asking import address_of, variants_of
from stockist.listing import Cell
from stockist.selling.forms import HeadForm, PiecesForm, WhyForm
from stockist.selling.saying import KeptAnswer, kept_answer
from stockist.steps import fresh_key

_SIGNS = {
    OrderState.OPEN: ("→", "cannot_tell"),
    OrderState.SENT: ("✓", "suits"),
    OrderState.CANCELLED: ("–", "caution"),
}


@dataclass(frozen=True, slots=True)
class LineSaid:
    """One order line: how it stands in words, the lots held for it, its price."""

    line: OrderLine
    stands: str
    tone: str
    sign: str
    lots: tuple[str, ...]
    price: str
    kept: KeptAnswer
    to_hold: int
    is_open: bool


def rows_of() -> QuerySet[Order]:
    return Order.objects.with_names()


def state_of(order: Order) -> Cell:
    """How it stands, with its sign."""
    return Cell(order.get_state_display(), *_SIGNS[OrderState(order.state)])


def lines_said(order: Order) -> list[LineSaid]:
    """The lines of an order in words. Four queries, however many lines."""
    stands = ordering.standing(order)
    lots: dict[int, list[str]] = {}
    held = HoldLine.objects.filter(hold__order_line__order=order, hold__state=HoldState.OPEN)
    for one in held.select_related("lot", "place", "hold").order_by("pk"):
        axle = f", {one.for_place}" if one.for_place else ""
        code = one.lot.date_code or "no date code"
        words = f"{one.quantity} × {code}, lot {one.lot} in {one.place}{axle}"
        lots.setdefault(one.hold.order_line_id or 0, []).append(words)
    return [_said(one, tuple(lots.get(one.line.pk, ()))) for one in stands]


def _said(stands: ordering.LineStanding, lots: tuple[str, ...]) -> LineSaid:
    line = stands.line
    over = line.cancelled or line.sent >= line.quantity
    counts = (
        (line.sent, "sent"), (stands.held, "held"), (stands.to_hold, "not held yet"),
    )  # fmt: skip
    words = ", ".join(f"{count} {word}" for count, word in counts if count)
    sign, tone = ("✓", "suits")
    if line.cancelled:
        words, sign, tone = (f"cancelled{', ' + words if words else ''}", "–", "caution")
    elif stands.to_hold:
        sign, tone = "!", "caution"
    return LineSaid(
        line, words, tone, sign, lots, money(line.price, line.currency), kept_answer(line.answer),
        stands.to_hold, not over,
    )  # fmt: skip


def total_of(lines: list[LineSaid]) -> str:
    """What the order comes to, or why that cannot be said."""
    counted = [one.line for one in lines if not one.line.cancelled]
    if not counted:
        return ""
    if any(one.price is None for one in counted):
        return "not all of it has a price"
    currencies = {one.currency for one in counted}
    if len(currencies) > 1:
        return f"in {' and '.join(sorted(currencies))}, which are not added up"
    total = sum(((one.price or Decimal(0)) * one.quantity for one in counted), Decimal(0))
    return money(total, currencies.pop())


def _counter_for(order: Order) -> str:
    """Where the counter answers for the order's car, or is asked, so that a set can be added."""
    address = reverse("counter:ask")
    if order.car is not None:
        wheels = list(order.car.wheels.select_related("tyre").order_by("axle"))
        address = address_of(order.car, wheels, variants_of([order.car]).get(order.car.pk))
    return f"{address}{'&' if '?' in address else '?'}{FOR_ORDER}={order.pk}"


def page(
    request: HttpRequest,
    found: Order,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of an order."""
    lines = lines_said(found)
    lists = list(found.pick_lists.select_related("to_place").order_by("pk"))
    sent = list(found.despatches.order_by("pk"))
    open_now = found.state == OrderState.OPEN
    may_change = request.user.has_perm("inventory.change_order") and open_now
    head = {name: getattr(found, name) for name in (*HeadForm.HEAD, "deposit", "deposit_reference")}
    context = {
        "order": found,
        "stands": state_of(found),
        "lines": lines,
        "total": total_of(lines),
        "deposit": money(found.deposit, found.deposit_currency),
        "lists": lists,
        "sent": sent,
        "may_change": may_change,
        "may_queue": request.user.has_perm("inventory.add_preorder") and open_now,
        "has_left": any(one.line.sent for one in lines),
        "sets": Asks.SETS.value,
        "change": HeadForm(initial={**head, "deposit_currency": found.deposit_currency or "GBP"}),
        "pieces": PiecesForm(),
        "counter": _counter_for(found),
        "end": WhyForm(),
        "key": fresh_key(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "selling/order.html", context, status=status)
