"""A quote ends: withdrawn, or taken up by an order."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.quoting.refusals import QuoteHasEnded, QuoteRanOut, SayWhyWithdrawn
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.models.quote import Quote, QuoteState


def withdraw_quote(*, quote: Quote, why: str, by: User, at: datetime) -> Quote:
    """Withdraw a quote. Raises SayWhyWithdrawn, QuoteHasEnded, Faulty."""
    if not why.strip():
        raise SayWhyWithdrawn
    with transaction.atomic():
        return end_quote(locked_quote(quote), QuoteState.WITHDRAWN, why=why, by=by, at=at)


def locked_quote(quote: Quote) -> Quote:
    """The quote as it is now, locked, still open. Raises QuoteHasEnded."""
    rows = Quote.objects.select_related("customer", "car", "ended_by")
    held = locked_row(rows, quote.pk)
    if held.state != QuoteState.OPEN:
        raise QuoteHasEnded(held)
    return held


def refuse_run_out(quote: Quote, *, at: datetime) -> None:
    """Raise QuoteRanOut where its day is over."""
    if timezone.localtime(at).date() > quote.good_until:
        raise QuoteRanOut(quote)


def end_quote(quote: Quote, state: QuoteState, *, why: str, by: User, at: datetime) -> Quote:
    """End a quote that is locked and open."""
    quote.state, quote.ended_at, quote.ended_by, quote.ended_why = state, at, by, why.strip()
    refuse_faulty(quote, ["ended_why"])
    quote.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
    return quote
