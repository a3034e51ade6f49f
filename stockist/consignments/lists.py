"""Which goods are here on consignment, and until when: the first due first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db.models import Q, QuerySet, Sum
from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities.consigning import agreed_of, with_nothing_agreed
from inventory.models.consignment import Consignment
from inventory.models.lot import Lot
from stockist.goods_in.scans import lot_named
from stockist.listing import Cell, Row
from stockist.selling.listing import NEWEST, listed
from stockist.steps import looking

OVERDUE, OVER = "overdue", "over"
STATES = (("", "here"), (OVERDUE, "overdue"), (OVER, "all bought or given back"), ("any", "any"))
ORDERS = (("due_on", "first due first"), NEWEST, ("supplier__name", "by consignor"))
HEADS = ("Consignment", "Whose", "Tyres", "Here", "Due", "Where it stands")
LOT_HEADS = ("Lot", "Whose", "Tyre", "Here", "Received")


@looking("inventory.view_consignment")
@require_GET
def consignments(request: HttpRequest) -> HttpResponse:
    """Which goods are here on consignment, and until when?"""
    today = timezone.localdate()
    doors = [("Nothing agreed", reverse("consignments:unagreed"))]
    if request.user.has_perm("inventory.add_consignment"):
        doors.insert(0, ("Take goods in", reverse("consignments:take")))
    return listed(
        request, title="Which goods are here on consignment, and until when?",
        empty="None like that are here.", heads=HEADS, states=STATES, orders=ORDERS,
        rows=lambda said: _rows(said, today), said=lambda one: _row(one, today), doors=doors,
        finds="Number, consignor, paper or a lot's label",
    )  # fmt: skip


def _rows(said: Mapping[str, Any], today: date) -> QuerySet[Any]:
    rows: Any = Consignment.objects.with_left().select_related("supplier")
    rows = rows.prefetch_related("lots__lot__sku")
    state = said.get("state") or ""
    if state == "":
        rows = rows.filter(left__gt=0)
    elif state == OVERDUE:
        rows = rows.overdue(today)
    elif state == OVER:
        rows = rows.filter(left=0)
    asked = said.get("q") or ""
    scanned = lot_named(asked)
    part = agreed_of(scanned) if scanned else None
    if part is not None:
        rows = rows.filter(pk=part.consignment_id)
    else:
        for word in asked.split():
            rows = rows.filter(_with(word))
    found: QuerySet[Any] = rows
    return found


def _with(word: str) -> Q:
    found = Q(supplier__name__icontains=word) | Q(supplier__code__iexact=word)
    found |= Q(reference__icontains=word) | Q(note__icontains=word)
    figures = word.upper().removeprefix("CG-")
    if figures.isascii() and figures.isdecimal() and len(figures) < 10:
        found |= Q(pk=int(figures))
    return found


def _row(one: Any, today: date) -> Row:
    lots = ", ".join(f"{part.quantity} × {part.lot.sku}" for part in one.lots.all())
    cells = (
        *(Cell(str(one.supplier)), Cell(lots), Cell(str(one.left), number=True)),
        *(Cell(f"{one.due_on:%d %b %Y}"), stands(one, today)),
    )
    return Row(one.number, reverse("consignments:consignment", args=[one.pk]), cells)


def stands(one: Any, today: date) -> Cell:
    """How a consignment stands that knows how many are left, with its sign."""
    late = (today - one.due_on).days
    if not one.left:
        return Cell("all bought or given back", "✓", "suits")
    if late > 0:
        return Cell(f"overdue, {late} day{'s' if late > 1 else ''}", "!", "caution")
    return Cell("here")


@looking("inventory.view_consignment")
@require_GET
def unagreed(request: HttpRequest) -> HttpResponse:
    """What lies here on consignment and was never written down as agreed?"""
    rows = with_nothing_agreed().select_related("sku", "owner_supplier")
    return listed(
        request, title="Of which goods on consignment is nothing agreed?",
        empty="Something is agreed of all of them.", heads=LOT_HEADS,
        states=[("", "here")], orders=(("code", "by lot"), ("received_on", "oldest first"), NEWEST),
        rows=lambda said: _lots(rows, said).annotate(here=Sum("balances__on_hand")), said=_lot,
        doors=[("All consignments", reverse("consignments:list"))], finds="Lot, SKU or consignor",
    )  # fmt: skip


def _lots(rows: QuerySet[Lot], said: Mapping[str, Any]) -> QuerySet[Lot]:
    for word in (said.get("q") or "").split():
        rows = rows.filter(
            Q(code__icontains=word)
            | Q(sku__code__icontains=word)
            | Q(owner_supplier__name__icontains=word)
        )
    return rows


def _lot(one: Any) -> Row:
    asked = QueryDict(mutable=True)
    asked.update({"lot": one.code})
    cells = (
        *(Cell(str(one.owner_supplier)), Cell(str(one.sku)), Cell(str(one.here), number=True)),
        Cell(f"{one.received_on:%d %b %Y}"),
    )
    return Row(one.code, f"{reverse('consignments:agree')}?{asked.urlencode()}", cells)
