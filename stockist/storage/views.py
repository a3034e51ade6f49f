"""Customers' tyres: what is kept and until when, taken in, handed back."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import storing
from inventory.ground.refusal import Refusal
from inventory.models.storage import Storage
from stockist.listing import Cell, Row, table
from stockist.steps import by, doing, focus, looking, told
from stockist.storage.forms import HandBackForm, StoragesForm, TakeInForm

_HEADS = ("Storage", "Customer", "Tyres", "Due back", "Where it stands")
_ROWS = Storage.objects.select_related("customer", "car", "taken_in_by", "ended_by")


@looking("inventory.view_storage")
@require_GET
def storages(request: HttpRequest) -> HttpResponse:
    """What is kept, the first due first."""
    form = StoragesForm(request.GET or None)
    today = timezone.localdate()
    said = form.cleaned_data if form.is_valid() else {}
    rows = _asked(said, today).prefetch_related("lots__lot__sku").order_by("due_on", "pk")
    context = {
        "table": table(request, rows, _HEADS, lambda one: _row(one, today)),
        "form": form,
        "may_take_in": request.user.has_perm("inventory.add_storage"),
    }
    return render(request, "storage/storages.html", context)


@doing("inventory.add_storage")
def take_in(request: HttpRequest) -> HttpResponse:
    """Take a customer's tyres in."""
    form = TakeInForm(request.POST or None, today=timezone.localdate())
    if request.method == "POST" and form.is_valid():
        try:
            row = storing.take_in(by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, f"✓ {row.number} is taken in.")
            return redirect("storage:storage", row.pk)
    focus(form, "customer")
    status = 400 if form.is_bound else 200
    return render(request, "storage/take_in.html", {"form": form}, status=status)


@looking("inventory.view_storage")
@require_GET
def storage(request: HttpRequest, number: int) -> HttpResponse:
    """One storage: whose, what, where it lies now, to whom it went."""
    return _page(request, number, HandBackForm())


@doing("inventory.change_storage")
@require_POST
def hand_back(request: HttpRequest, number: int) -> HttpResponse:
    """Hand the tyres back."""
    form = HandBackForm(request.POST)
    row = get_object_or_404(_ROWS, pk=number)
    if form.is_valid():
        handed_to = form.cleaned_data["handed_to"]
        try:
            storing.hand_back(storage=row, handed_to=handed_to, by=by(request), at=timezone.now())
        except Refusal as refusal:
            return _page(request, number, form, refused=refusal.sentence, status=refusal.status)
        messages.success(request, f"✓ {row.number} is handed to {handed_to}.")
        return redirect("storage:storage", number)
    return _page(request, number, form, status=400)


def _asked(said: dict[str, Any], today: date) -> QuerySet[Storage]:
    rows, shown = _ROWS, said.get("shown", "")
    if shown in ("", "overdue"):
        rows = rows.filter(ended_at__isnull=True)
    if shown == "overdue":
        rows = rows.filter(due_on__lt=today)
    if shown == "ended":
        rows = rows.filter(ended_at__isnull=False)
    if said.get("due_by"):
        rows = rows.filter(due_on__lte=said["due_by"])
    if said.get("customer"):
        rows = rows.filter(customer__name__icontains=said["customer"])
    return rows


def _row(one: Storage, today: date) -> Row:
    lots = ", ".join(f"{part.quantity} x {part.lot.sku}" for part in one.lots.all())
    cells = (
        Cell(str(one.customer)),
        Cell(lots),
        Cell(f"{one.due_on:%d %b %Y}"),
        _stands(one, today),
    )
    return Row(one.number, f"/storage/{one.pk}/", cells)


def _stands(one: Storage, today: date) -> Cell:
    if one.ended_at is not None:
        return Cell(f"handed to {one.handed_to}", "✓", "suits")
    if one.due_on < today:
        return Cell("overdue", "!", "caution")
    return Cell("kept")


def _page(
    request: HttpRequest, number: int, form: HandBackForm, *, refused: str = "", status: int = 200
) -> HttpResponse:
    row = get_object_or_404(_ROWS, pk=number)
    context = {
        "row": row,
        "parts": row.lots.select_related("lot__sku"),
        "lies": storing.lying(row),
        "overdue": row.ended_at is None and row.due_on < timezone.localdate(),
        "may_hand_back": row.ended_at is None and request.user.has_perm("inventory.change_storage"),
        "form": form,
        "refused": refused,
    }
    return render(request, "storage/storage.html", context, status=status)
