"""Is the scanner set up right? A symbol to scan, and what arrived."""

from __future__ import annotations

from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inventory.documents.symbols import Modules, gs1_symbol
from inventory.markings.scans import UnreadableScan, read_scan
from inventory.markings.scans.arriving import TEST_ELEMENTS, names_of, what_arrived
from stockist.goods_in.fields import LONGEST_SCAN, PLAIN
from stockist.steps import looking

_MARGIN = 2


@dataclass(frozen=True, slots=True)
class Picture:
    """A symbol as dark squares: their corners, and the side of the whole with its quiet zone."""

    side: int
    dark: list[tuple[int, int]]


class ArrivedForm(forms.Form):
    """What the scanner sent, as it came: nothing is taken off or refused."""

    arrived = forms.CharField(
        label="Scan the symbol into this field", max_length=LONGEST_SCAN, strip=False,
        widget=forms.TextInput({**PLAIN, "data-scan": True, "autofocus": True}),
    )  # fmt: skip


@looking("inventory.view_lot")
@require_GET
def scanner(request: HttpRequest) -> HttpResponse:
    """The test symbol; and, when it was scanned, each sign of what arrived by name."""
    form = ArrivedForm(request.GET if "arrived" in request.GET else None)
    text = form.cleaned_data["arrived"] if form.is_valid() else ""
    context = {
        "form": ArrivedForm(),
        "picture": picture(gs1_symbol(TEST_ELEMENTS)),
        "text": text,
        "signs": names_of(text),
        "told": what_arrived(text) if text else [],
        "read_as": _read_as(text) if text else "",
    }
    return render(request, "labels/scanner.html", context)


def picture(modules: Modules) -> Picture:
    """The corners of the dark modules, the quiet zone left free."""
    return Picture(
        len(modules) + 2 * _MARGIN,
        [
            (x, y)
            for y, row in enumerate(modules, start=_MARGIN)
            for x, dark in enumerate(row, start=_MARGIN)
            if dark
        ],
    )


def _read_as(text: str) -> str:
    try:
        scan = read_scan(text)
    except UnreadableScan as error:
        return str(error)
    if scan.elements:
        said = " ".join(f"({name}) {data}" for name, data in scan.elements)
        return f"It is read as {scan.form.value}: {said}"
    return f"It is read as {scan.form.value}: {scan.code or scan.gtin}"
