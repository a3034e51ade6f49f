"""A set of the counter's answer becomes a line of an order that is open."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from inventory.activities import ordering
from inventory.activities.ordering import AskSets, Holding
from inventory.models.sale import Order
from stockist.selling.asked import AskAgain, SetAsked
from stockist.selling.forms import AddSetForm, SetForm
from stockist.selling.order_page import rows_of
from stockist.selling.taking import Step, Wanted, shown_in, step
from stockist.steps import by


def _order(request: HttpRequest) -> Order:
    match = request.resolver_match
    assert match is not None  # noqa: S101 - a view is reached by an address
    return get_object_or_404(rows_of(), pk=match.kwargs["number"])


def _about(request: HttpRequest, at: datetime, asked: SetAsked | None) -> dict[str, Any]:
    order = _order(request)
    judged = f"for {order.car}" if order.car else "by its age alone, as the order names no car"
    return {
        "about": f"{order.number}, {order.customer}",
        "judged": f"When it leaves it is judged {judged}.",
    }


def _whom(request: HttpRequest, form: Any, asked: SetAsked | None, at: datetime) -> Wanted:
    order = _order(request)
    return Wanted(order.customer, order.car, asked, at)


@step(
    "inventory.change_order", AddSetForm, Step("Add this set to the order", "Add it"), _about, _whom
)
def add(request: HttpRequest, form: AddSetForm, wanted: Wanted) -> tuple[str, int, str]:
    """Add the set that the counter answered to an order that is open."""
    if wanted.asked is None:
        raise AskAgain
    order, said = _order(request), form.cleaned_data
    ordering.add_lines(
        order=order, asks=[ask_of(form, wanted.asked)],
        holding=Holding(said["holding"] or Holding.ALL), knowing=said["knowing"],
        by=by(request), at=wanted.at,
    )  # fmt: skip
    return "selling:order", order.pk, f"Added to {order.number}."


def ask_of(form: SetForm, asked: SetAsked) -> AskSets:
    """So many of the set that was answered, by the lots that were shown. Raises NoSuchParts."""
    said = form.cleaned_data
    return AskSets(
        need=asked.need, what=asked.what, sets=1 if said["sets"] is None else said["sets"],
        shown=shown_in(said["shown"]), said=asked.said, **form.values("other_choice", "pinned"),
    )  # fmt: skip
