"""Quotes: a set at a price until a day, with the answer and its reasons as they stood."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.rules import cautions
from inventory.activities import quoting
from inventory.models.quote import Quote, QuoteState
from stockist.counter.wording import money
from stockist.listing import Cell, Row
from stockist.selling.asked import AskAgain, SetAsked
from stockist.selling.forms import QuoteForm, WhyForm
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.selling.saying import kept_answer
from stockist.selling.steps import step
from stockist.selling.taking import Step, Wanted, in_days
from stockist.selling.taking import step as taken
from stockist.steps import by, looking

GOOD_FOR = 14
ORDERS = (NEWEST, ("good_until", "runs out soonest"), ("customer__name", "by customer"))
HEADS = ("Quote", "For", "What", "Price of a set", "Good until", "Where it stands")
_SIGNS = {
    QuoteState.OPEN: ("→", "cannot_tell"),
    QuoteState.TAKEN: ("✓", "suits"),
    QuoteState.WITHDRAWN: ("–", "caution"),
}


@looking("inventory.view_quote")
@require_GET
def quotes(request: HttpRequest) -> HttpResponse:
    """What was offered, to whom?"""

    def rows(said: Any) -> QuerySet[Quote]:
        found: Any = Quote.objects.with_names()
        if said.get("state"):
            found = found.filter(state=said["state"])
        return narrowed(found, said, "QU-", "what", "note")

    return listed(
        request, title="What was quoted, to whom?", empty="No quote like that. Quote a set from "
        "the counter's answer.", heads=HEADS, states=(("", "any"), *QuoteState.choices),
        orders=ORDERS, rows=rows, said=quote_row,
    )  # fmt: skip


def quote_row(quote: Quote) -> Row:
    """A quote in a list."""
    cells = (
        Cell(str(quote.customer)), Cell(quote.what), Cell(money(quote.price, quote.currency)),
        Cell(f"{quote.good_until:%d %b %Y}"), state_of(quote),
    )  # fmt: skip
    return Row(quote.number, reverse("selling:quote", args=[quote.pk]), cells)


def state_of(quote: Quote) -> Cell:
    """How it stands, with its sign."""
    if quote.state == QuoteState.OPEN and quote.good_until < timezone.localdate():
        return Cell("run out", "–", "caution")
    return Cell(quote.get_state_display(), *_SIGNS[QuoteState(quote.state)])


@looking("inventory.view_quote")
@require_GET
def quote(request: HttpRequest, number: int) -> HttpResponse:
    """One quote, as it can be printed."""
    return page(request, get_object_or_404(Quote.objects.with_names(), pk=number))


def page(
    request: HttpRequest,
    found: Quote,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a quote."""
    is_open = found.state == QuoteState.OPEN
    good = is_open and found.good_until >= timezone.localdate()
    total = found.price * found.sets if found.price is not None else None
    context = {
        "quote": found,
        "stands": state_of(found),
        "price": money(found.price, found.currency),
        "total": money(total, found.currency) if found.sets > 1 else "",
        "kept": kept_answer(found.answer),
        "cautions": cautions.ALL,
        "may_withdraw": request.user.has_perm("inventory.change_quote") and is_open,
        "may_order": request.user.has_perm("inventory.add_order") and good,
        "withdraw": WhyForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "selling/quote.html", context, status=status)


def _filled(request: HttpRequest, at: datetime, asked: SetAsked | None) -> dict[str, Any]:
    return {"good_until": in_days(at, GOOD_FOR)}


@taken(
    "inventory.add_quote", QuoteForm,
    Step("Quote this set", "Give the quote"), _filled,
)  # fmt: skip
def make(request: HttpRequest, form: QuoteForm, wanted: Wanted) -> tuple[str, int, str]:
    """Quote the set that the counter answered."""
    if wanted.asked is None:
        raise AskAgain
    sets = form.cleaned_data["sets"]
    made = quoting.give_quote(
        customer=wanted.customer, car=wanted.car, need=wanted.asked.need, what=wanted.asked.what,
        sets=1 if sets is None else sets, said=wanted.asked.said,
        **form.values("good_until", "note"), by=by(request), at=wanted.at,
    )  # fmt: skip
    return "selling:quote", made.pk, f"{made.number} is given. Nothing is held by it."


withdraw = step(
    permission="inventory.change_quote", rows=Quote.objects.with_names, called="quote",
    form=WhyForm, name="withdraw", work=quoting.withdraw_quote, page=page,
    to=lambda row: ("selling:quote", row.pk), done="Withdrawn.",
)  # fmt: skip
