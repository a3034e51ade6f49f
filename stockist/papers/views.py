"""Papers to be printed, handed out as files."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from inventory.ground.uploads.serving import attachment
from inventory.models.despatch import Despatch
from stockist.papers.delivery_note import drawn
from stockist.papers.note import note_of
from stockist.steps import looking

PDF = "application/pdf"


def note_file(number: int) -> HttpResponse:
    """The delivery note of a despatch as a file, or 404."""
    sent = get_object_or_404(Despatch, pk=number)
    return attachment(drawn(note_of(sent)), name=f"{sent.number}.pdf", media_type=PDF)


@looking("inventory.view_despatch")
def delivery_note(request: HttpRequest, number: int) -> HttpResponse:
    """The delivery note of a despatch."""
    return note_file(number)
