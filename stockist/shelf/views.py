"""What lies where: every lot and every place has a page, with its label and what may be done."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from inventory.activities import receiving
from inventory.models.balance import Balance
from inventory.models.lot import Lot, Owner
from inventory.models.place import Place
from stockist.listing import Cell, Row, table
from stockist.shelf.forms import InPlaceForm, ShelfForm, lying
from stockist.steps import looking

LOOK = "inventory.view_lot"
SHELF = ("Lot", "SKU", "Date code", "Place", "Site", "On hand", "Held")
IN_PLACE = ("Lot", "SKU", "Date code", "On hand", "Held")


@looking(LOOK)
@require_GET
def shelf(request: HttpRequest) -> HttpResponse:
    """What lies where; the label of a lot or place leads to its page."""
    form = ShelfForm(request.GET or None)
    rows = form.asked()
    named = getattr(form, "named", None)
    if isinstance(named, Lot):
        return redirect("shelf:lot", named.pk)
    if isinstance(named, Place):
        return redirect("shelf:place", named.pk)
    form.fields["scan"].widget.attrs["autofocus"] = True
    context = {
        "title": "What lies where?",
        "form": form,
        "table": table(request, rows, SHELF, _row),
        "empty": "None like that.",
    }
    return render(request, "stockist/list.html", context)


def _row(one: Balance) -> Row:
    cells = (
        Cell(str(one.lot.sku)),
        Cell(one.lot.date_code),
        Cell(one.place.code),
        Cell(str(one.place.site)),
        Cell(str(one.on_hand), number=True),
        Cell(str(one.held or ""), number=True),
    )
    return Row(one.lot.code, reverse("shelf:lot", args=[one.lot_id]), cells)


def _in_place(one: Balance) -> Row:
    row = _row(one)
    kept = [cell for head, cell in zip(SHELF[1:], row.cells, strict=True) if head in IN_PLACE]
    return Row(row.name, row.address, tuple(kept))


@looking(LOOK)
@require_GET
def lot(request: HttpRequest, number: int) -> HttpResponse:
    """One lot: what it is, where it lies, what stands against it."""
    rows = Lot.objects.select_related("sku__pattern__maker", "owner_customer", "owner_supplier")
    found = get_object_or_404(rows, pk=number)
    lies = list(lying().filter(lot=found).order_by("place__site__code", "place__code"))
    may_see = request.user.has_perm("inventory.view_suppliercomplaint")
    context = {
        "lot": found,
        "lies": lies,
        "on_hand": sum(one.on_hand for one in lies),
        "blocks": found.blocks.filter(lifted_at=None).select_related("placed_by").order_by("pk"),
        "came_by": receiving.delivery_of(found),
        "complaints": found.supplier_complaints.order_by("-pk") if may_see else (),
        "labels": _labels("lots", found.code),
        "may_complain": (
            bool(lies)
            and found.owner == Owner.HOUSE
            and request.user.has_perm("inventory.add_suppliercomplaint")
        ),
    }
    return render(request, "shelf/lot.html", context)


@looking(LOOK)
@require_GET
def place(request: HttpRequest, number: int) -> HttpResponse:
    """One place, and what lies in it."""
    found = get_object_or_404(Place.objects.select_related("site"), pk=number)
    form = InPlaceForm(request.GET or None)
    context = {
        "place": found,
        "form": form,
        "table": table(request, form.asked(found), IN_PLACE, _in_place),
        "empty": "Nothing like that lies here.",
        "labels": _labels("places", found.code),
    }
    return render(request, "shelf/place.html", context)


def _labels(of: str, code: str) -> str:
    """Where labels of one lot or place are chosen and printed."""
    return f"{reverse('labels:labels')}?{urlencode({'of': of, 'scans': code})}"
