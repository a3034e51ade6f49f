"""Papers to be printed, handed out as files."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.ground.uploads.serving import attachment
from inventory.models.despatch import Despatch
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from stockist.papers import delivery_note as note_drawn
from stockist.papers import quote_drawn, scrutineer_card
from stockist.papers.forms import card_form
from stockist.papers.note import note_of
from stockist.papers.quote import paper_of
from stockist.papers.scrutineer import card_of
from stockist.steps import looking

PDF = "application/pdf"
NO_TYRE = "No tyre is on this hold, so there is nothing to show a scrutineer."


def note_file(number: int) -> HttpResponse:
    """The delivery note of a despatch as a file, or 404."""
    sent = get_object_or_404(Despatch, pk=number)
    return attachment(note_drawn.drawn(note_of(sent)), name=f"{sent.number}.pdf", media_type=PDF)


@looking("inventory.view_despatch")
def delivery_note(request: HttpRequest, number: int) -> HttpResponse:
    """The delivery note of a despatch."""
    return note_file(number)


def quote_file(number: int) -> HttpResponse:
    """A quote as a file, or 404."""
    found = get_object_or_404(Quote, pk=number)
    return attachment(
        quote_drawn.drawn(paper_of(found)), name=f"{found.number}.pdf", media_type=PDF
    )


@looking("inventory.view_quote")
@require_GET
def quote(request: HttpRequest, number: int) -> HttpResponse:
    """A quote, to be printed or sent."""
    return quote_file(number)


@looking("inventory.view_hold")
@require_GET
def card(request: HttpRequest, number: int) -> HttpResponse:
    """The scrutineer's card of a held set: asks for class and day, then hands it out."""
    hold = get_object_or_404(Hold.objects.select_related("customer", "car"), pk=number)
    at = timezone.now()
    form = card_form(hold, request.GET or None, today=timezone.localdate(at))
    if form.is_valid():
        ran, on = form.cleaned_data["run_in"], form.cleaned_data["on"]
        found = card_of(hold, ran, on=on, at=at)
        if found.lines:
            name = f"{hold.number} {ran.code}.pdf"
            return attachment(scrutineer_card.drawn(found), name=name, media_type=PDF)
        form.add_error(None, NO_TYRE)
    status = 400 if form.is_bound else 200
    return render(request, "papers/card.html", {"hold": hold, "form": form}, status=status)
