"""Customers' tyres: taken in, shown where they lie, kept longer, handed back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.activities import storing
from inventory.ground.refusal import Refusal
from inventory.models.storage import Storage
from stockist.selling.steps import step
from stockist.selling.whom import SayWho, customer_meant
from stockist.steps import by, doing, focus, looking, told
from stockist.storage.cars import car_named, named
from stockist.storage.forms import HandBackForm, KeepLongerForm, TakeInForm
from stockist.storage.lists import stands

_ROWS = Storage.objects.select_related("customer", "car", "taken_in_by", "ended_by")
_TOLD = ("due_on", "place", "they_fit", "note")


@doing("inventory.add_storage")
def take_in(request: HttpRequest) -> HttpResponse:
    """Take a customer's tyres in."""
    may_enter, today = request.user.has_perm("inventory.add_customer"), timezone.localdate()
    if request.method != "POST":
        who = named(request.GET.get("who", ""))
        return _asked(request, TakeInForm(initial=who, today=today, may_enter=may_enter))
    form = TakeInForm(request.POST, today=today, may_enter=may_enter)
    if not form.is_valid():
        return _asked(request, form, 400)
    try:
        row = _taken(request, form)
    except Refusal as refusal:
        if isinstance(refusal, SayWho) and refusal.among:
            knows = request.user.has_perm("inventory.view_customer")
            form.let_choose(refusal.among, reached=knows)
        told(form, refusal)
        return _asked(request, form, refusal.status)
    messages.success(
        request, f"✓ {row.number} is taken in. Label the tyres before they are put by."
    )
    return redirect("storage:storage", row.pk)


def _taken(request: HttpRequest, form: TakeInForm) -> Storage:
    at, said = timezone.now(), form.cleaned_data
    customer = customer_meant(said, by=by(request), at=at)
    car = car_named(customer, said["car"])
    return storing.take_in(
        customer=customer, car=car, tyres=form.tyres(), by=by(request), at=at, **form.values(*_TOLD)
    )


def _asked(request: HttpRequest, form: TakeInForm, status: int = 200) -> HttpResponse:
    focus(form, "name")
    return render(request, "storage/take_in.html", {"form": form}, status=status)


@looking("inventory.view_storage")
@require_GET
def storage(request: HttpRequest, number: int) -> HttpResponse:
    """One storage: whose, what, where it lies now, to whom it went."""
    return _page(request, get_object_or_404(_ROWS, pk=number))


def _page(
    request: HttpRequest,
    row: Storage,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    lots = list(row.lots.select_related("lot__sku"))
    context = {
        "row": row,
        "stands": stands(row, timezone.localdate()),
        "parts": lots,
        "labels": "\n".join(part.lot.code for part in lots),
        "lies": storing.lying(row),
        "extensions": row.extensions.select_related("extended_by"),
        "may_act": row.ended_at is None and request.user.has_perm("inventory.change_storage"),
        "refused": refused,
        "hand_back": HandBackForm(),
        "keep_longer": KeepLongerForm(),
        **(bound or {}),
    }
    return render(request, "storage/storage.html", context, status=status)


def _to(row: Storage) -> tuple[str, int]:
    return "storage:storage", row.pk


hand_back = step(
    permission="inventory.change_storage", rows=lambda: _ROWS, called="storage",
    form=HandBackForm, name="hand_back", work=storing.hand_back, page=_page, to=_to,
    done=lambda row: f"✓ {row.number} is handed to {row.handed_to}.",
)  # fmt: skip
keep_longer = step(
    permission="inventory.change_storage", rows=lambda: _ROWS, called="storage",
    form=KeepLongerForm, name="keep_longer", work=storing.keep_longer, page=_page, to=_to,
    done=lambda row: f"✓ {row.number} is kept until {row.due_on:%d %b %Y}.",
)  # fmt: skip
