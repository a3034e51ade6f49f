"""Orders of customers: taken from an answer, a hold, a quote or as pieces; each as it stands."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import ordering
from inventory.activities.ordering import AskHold, AskPieces, AskQuote, Holding
from inventory.ground.refusal import Refusal
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderState
from stockist.listing import Cell, Row
from stockist.selling.asked import SetAsked
from stockist.selling.forms import OrderForm
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.selling.order_page import page, rows_of, state_of
from stockist.selling.order_sets import ask_of
from stockist.selling.taking import Step, Wanted
from stockist.selling.taking import step as taken
from stockist.steps import by, looking

ORDERS = (NEWEST, ("wanted_on", "wanted soonest"), ("customer__name", "by customer"))
HEADS = ("Order", "For", "Reference", "Wanted on", "Taken", "Where it stands")


class NotThere(Refusal):
    """The hold or the quote that is to be ordered is not there."""

    status = 404
    sentence = "What is to be ordered is not there: open it again. Nothing was changed."


@looking("inventory.view_order")
@require_GET
def orders(request: HttpRequest) -> HttpResponse:
    """What is ordered, by whom?"""

    def rows(said: Any) -> QuerySet[Order]:
        found: Any = Order.objects.with_names()
        state = said.get("state") or OrderState.OPEN
        if state != "any":
            found = found.filter(state=state)
        return narrowed(found, said, "OR-", "reference", "note")

    doors = [
        (words, reverse(f"selling:{route}"))
        for words, route, permission in (
            ("Holds", "holds", "view_hold"),
            ("Quotes", "quotes", "view_quote"),
            ("The queue", "queue", "view_preorder"),
        )
        if request.user.has_perm(f"inventory.{permission}")
    ]
    doors.append(("What has left", reverse("sending:despatches")))
    if request.user.has_perm("inventory.add_order"):
        doors.insert(0, ("An order for pieces", reverse("selling:order-make")))
    return listed(
        request, title="What is ordered, by whom?", empty="No order like that. Order a set from "
        "the counter's answer.", heads=HEADS, orders=ORDERS, doors=doors, rows=rows,
        states=(("", "open"), ("any", "any"), *OrderState.choices[1:]), said=order_row,
    )  # fmt: skip


def order_row(order: Order) -> Row:
    """An order in a list."""
    cells = (
        Cell(str(order.customer)), Cell(order.reference),
        Cell(f"{order.wanted_on:%d %b %Y}" if order.wanted_on else ""),
        Cell(f"{timezone.localtime(order.made_at):%d %b %Y} by {order.made_by}"), state_of(order),
    )  # fmt: skip
    return Row(order.number, reverse("selling:order", args=[order.pk]), cells)


@looking("inventory.view_order")
@require_GET
def order(request: HttpRequest, number: int) -> HttpResponse:
    """One order: its lines, what is held and has left, and what may be done."""
    return page(request, get_object_or_404(rows_of(), pk=number))


def _filled(request: HttpRequest, at: datetime, asked: SetAsked | None) -> dict[str, Any]:
    """From a hold or a quote: for whom, and which it is."""
    for name, model in (("hold", Hold), ("quote", Quote)):
        number = request.GET.get(name, "")
        if number.isascii() and number.isdecimal() and len(number) < 10:
            rows: Any = model.objects
            found = rows.select_related("customer").filter(pk=int(number)).first()
            if found is not None:
                who = {"who": str(found.customer_id), "name": found.customer.name}
                car = {"car": found.car_id} if found.car_id else {}
                return {name: found.pk, "sets": None, "about": found.what, **who, **car}
    return {"deposit_currency": "GBP"}


@taken("inventory.add_order", OrderForm, Step("Order this", "Take the order"), _filled)
def make(request: HttpRequest, form: OrderForm, wanted: Wanted) -> tuple[str, int, str]:
    """Take an order."""
    made = ordering.take_order(
        customer=wanted.customer, car=wanted.car, asks=_asks(form, wanted),
        holding=Holding(form.cleaned_data["holding"] or Holding.ALL),
        knowing=form.cleaned_data["knowing"], by=by(request), at=wanted.at, **form.head(),
    )  # fmt: skip
    return "selling:order", made.pk, f"{made.number} is taken for {wanted.customer}."


def _asks(form: OrderForm, wanted: Wanted) -> list[ordering.Ask]:
    said, asks = form.cleaned_data, list[ordering.Ask]()
    if said["hold"]:
        asks.append(AskHold(hold=_there(Hold, said["hold"])))
    if said["quote"]:
        asks.append(AskQuote(quote=_there(Quote, said["quote"]), sets=said.get("sets")))
    if wanted.asked is not None:
        asks.append(ask_of(form, wanted.asked))
    if said["sku"] is not None:
        quantity = 1 if said["quantity"] is None else said["quantity"]
        asks.append(AskPieces(sku=said["sku"], quantity=quantity, pinned=said["pinned"]))
    return asks


def _there(model: Any, number: int) -> Any:
    found = model.objects.filter(pk=number).first() if number < 2**31 else None
    if found is None:
        raise NotThere
    return found
