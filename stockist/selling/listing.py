"""The lists of promises: filtered by customer, state and words; in the order that was asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from stockist.listing import Row, table
from stockist.selling.forms import ListForm

NEWEST = ("-pk", "newest first")


def narrowed(
    rows: QuerySet[Any], said: Mapping[str, Any], prefix: str, *columns: str
) -> QuerySet[Any]:
    """Rows of a customer, and with every word in one of these columns or as their number."""
    if said.get("customer"):
        rows = rows.filter(customer=said["customer"])
    for word in (said.get("q") or "").split():
        found = Q()
        for column in ("customer__name", *columns):
            found |= Q(**{f"{column}__icontains": word})
        figures = word.upper().removeprefix(prefix)
        if figures.isascii() and figures.isdecimal() and len(figures) < 10:
            found |= Q(pk=int(figures))
        rows = rows.filter(found)
    return rows


def listed(
    request: HttpRequest,
    *,
    title: str,
    empty: str,
    heads: Sequence[str],
    states: Sequence[tuple[str, str]],
    orders: Sequence[tuple[str, str]],
    rows: Callable[[Mapping[str, Any]], QuerySet[Any]],
    said: Callable[[Any], Row],
    doors: Sequence[tuple[str, str]] = (),
    finds: str = "Number, customer or what it is",
) -> HttpResponse:
    """The page of a list; a question that cannot be read shows nothing, with what is wrong."""
    form = ListForm(request.GET or None, states=states, orders=orders)
    form.fields["q"].label = finds
    asked = form.cleaned_data if form.is_valid() else {}
    found = rows(asked)
    if form.is_bound and form.errors:
        found = found.none()
    order = asked.get("order") or orders[0][0]
    names = (order,) if order.lstrip("-") == "pk" else (order, "pk")
    context = {
        "title": title,
        "empty": empty,
        "form": form,
        "table": table(request, found.order_by(*names), heads, said),
        "doors": doors,
    }
    return render(request, "stockist/list.html", context)
