"""Goods taken on consignment, and what is agreed of goods that lie here already."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.activities import consigning
from inventory.ground.refusal import Refusal
from inventory.models.consignment import Consignment
from inventory.models.lot import Lot
from stockist.consignments.forms import AgreeForm, TakeForm
from stockist.steps import by, doing, focus, told


@doing("inventory.add_consignment")
def take(request: HttpRequest) -> HttpResponse:
    """Take goods in that stay the consignor's."""
    form = TakeForm(request.POST or None, today=timezone.localdate())
    words = "is taken in. Label the tyres before they are put by."
    return _asked(request, form, "consignments/take.html", "supplier", consigning.take, words)


@doing("inventory.add_consignment")
def agree(request: HttpRequest) -> HttpResponse:
    """Write down what is agreed of lots that lie here on consignment."""
    lot = Lot.objects.filter(code=request.GET.get("lot", "")).first()
    known = {"lot_1": lot.code, "supplier": lot.owner_supplier_id} if lot else {}
    form = AgreeForm(request.POST or None, initial=known, today=timezone.localdate())
    page, words = "consignments/agree.html", "is written down."
    return _asked(request, form, page, "due_on", consigning.agree, words)


def _asked(
    request: HttpRequest,
    form: Any,
    page: str,
    first: str,
    work: Callable[..., Consignment],
    words: str,
) -> HttpResponse:
    status = 400 if form.is_bound else 200
    if form.is_bound and form.is_valid():
        try:
            row = work(by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
            status = refusal.status
        else:
            messages.success(request, f"✓ {row.number} {words}")
            return redirect("consignments:consignment", row.pk)
    focus(form, first)
    return render(request, page, {"form": form}, status=status)
