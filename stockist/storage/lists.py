"""Which customers' tyres are kept, and until when: the first due first, the overdue ones lead."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.models.storage import Storage, storage_of
from stockist.goods_in.scans import lot_named
from stockist.listing import Cell, Row
from stockist.selling.listing import NEWEST, listed, narrowed
from stockist.steps import looking

OVERDUE, ENDED = "overdue", "ended"
STATES = (("", "kept"), (OVERDUE, "overdue"), (ENDED, "handed back"), ("any", "any"))
ORDERS = (("due_on", "first due first"), NEWEST, ("customer__name", "by customer"))
HEADS = ("Storage", "Whose", "Tyres", "Due back", "Where it stands")


@looking("inventory.view_storage")
@require_GET
def storages(request: HttpRequest) -> HttpResponse:
    """Which customers' tyres are kept, and until when?"""
    today = timezone.localdate()
    doors = []
    if request.user.has_perm("inventory.add_storage"):
        doors = [("Take tyres in", reverse("storage:take-in"))]
    return listed(
        request, title="Which customers' tyres are kept, and until when?",
        empty="None like that are kept.", heads=HEADS, states=STATES, orders=ORDERS,
        rows=lambda said: _rows(said, today), said=lambda one: _row(one, today), doors=doors,
    )  # fmt: skip


def _rows(said: Mapping[str, Any], today: date) -> QuerySet[Storage]:
    rows = Storage.objects.select_related("customer", "car").prefetch_related("lots__lot__sku")
    state = said.get("state") or ""
    if state == "":
        rows = rows.kept()
    elif state == OVERDUE:
        rows = rows.overdue(today)
    elif state == ENDED:
        rows = rows.filter(ended_at__isnull=False)
    scanned = lot_named(said.get("q") or "")
    found = storage_of(scanned) if scanned else None
    if found is not None:
        return rows.filter(pk=found.pk)
    return narrowed(rows, said, "K-", "car__description", "car__plate", "note")


def _row(one: Storage, today: date) -> Row:
    lots = ", ".join(f"{part.quantity} × {part.lot.sku}" for part in one.lots.all())
    whose = f"{one.customer}, {one.car}" if one.car else str(one.customer)
    cells = (Cell(whose), Cell(lots), Cell(f"{one.due_on:%d %b %Y}"), stands(one, today))
    return Row(one.number, reverse("storage:storage", args=[one.pk]), cells)


def stands(one: Storage, today: date) -> Cell:
    """How it stands, with its sign."""
    if one.ended_at is not None:
        return Cell(f"handed to {one.handed_to}", "✓", "suits")
    late = (today - one.due_on).days
    if late > 0:
        return Cell(f"overdue, {late} day{'s' if late > 1 else ''}", "!", "caution")
    return Cell("kept")
