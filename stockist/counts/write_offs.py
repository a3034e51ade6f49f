"""Write-offs: asked for, passed or refused."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import writing_off
from inventory.ground.refusal import Refusal
from inventory.ground.second_person import alone_up_to
from inventory.models.hold import Hold
from inventory.models.write_off import WriteOff, WriteOffState
from stockist.counts.forms import PassForm, RefuseForm, WriteOffForm, WriteOffsForm
from stockist.listing import newest_first
from stockist.steps import by, doing, focus, looking, told


@looking("inventory.view_writeoff")
@require_GET
def write_offs(request: HttpRequest) -> HttpResponse:
    """What was written off, or is to be, the newest first."""
    form = WriteOffsForm(request.GET or None)
    rows: Any = WriteOff.objects.select_related("lot__sku", "place", "asked_by", "decided_by")
    if form.is_valid():
        rows = rows.filter(**{key: one for key, one in form.cleaned_data.items() if one})
    listing = newest_first(request, rows)
    context = {
        "rows": listing.rows,
        "more": listing.more,
        "form": form,
        "may_ask": request.user.has_perm("inventory.add_writeoff"),
    }
    return render(request, "counts/write_offs.html", context)


@doing("inventory.add_writeoff")
def ask(request: HttpRequest) -> HttpResponse:
    """Write tyres off; more than a few wait for another person."""
    form = WriteOffForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        said = {key: one for key, one in form.cleaned_data.items() if key != "idempotency_key"}
        try:
            row, broken = writing_off.write_off(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, _said(row, broken))
            return redirect("counts:write-off", row.pk)
    focus(form, "lot")
    status = 400 if form.is_bound else 200
    context = {"form": form, "alone_up_to": alone_up_to()}
    return render(request, "counts/write_off_ask.html", context, status=status)


@looking("inventory.view_writeoff")
@require_GET
def write_off(request: HttpRequest, number: int) -> HttpResponse:
    """One write-off: what, why, who decided."""
    return _page(request, number)


@doing("inventory.change_writeoff")
@require_POST
def pass_it(request: HttpRequest, number: int) -> HttpResponse:
    """Post it."""
    form = PassForm(request.POST)
    form.is_valid()
    try:
        row, broken = writing_off.pass_write_off(
            row=_found(number), alone=form.cleaned_data["alone"], by=by(request), at=timezone.now()
        )
    except Refusal as refusal:
        return _page(request, number, refused=refusal.sentence, status=refusal.status)
    messages.success(request, _said(row, broken))
    return redirect("counts:write-off", number)


@doing("inventory.change_writeoff")
@require_POST
def refuse(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the tyres in the books."""
    form = RefuseForm(request.POST)
    form.is_valid()
    answer = form.cleaned_data.get("answer", "")
    try:
        writing_off.refuse_write_off(
            row=_found(number), answer=answer, by=by(request), at=timezone.now()
        )
    except Refusal as refusal:
        return _page(request, number, refused=refusal.sentence, status=refusal.status)
    messages.success(request, "Refused: the tyres stay in the books.")
    return redirect("counts:write-off", number)


def _said(row: WriteOff, broken: Sequence[Hold]) -> str:
    if row.state == WriteOffState.ASKED:
        return f"{row.number} is asked for: another person decides."
    words = f"✓ {row.quantity} of {row.lot} are written off."
    if broken:
        words += f" Broken, for want of tyres: {', '.join(hold.number for hold in broken)}."
    return words


def _found(number: int) -> WriteOff:
    rows = WriteOff.objects.select_related("lot__sku", "place", "asked_by", "decided_by")
    return get_object_or_404(rows, pk=number)


def _page(
    request: HttpRequest, number: int, *, refused: str = "", status: int = 200
) -> HttpResponse:
    found = _found(number)
    asked = found.state == WriteOffState.ASKED
    context = {
        "row": found,
        "may_decide": asked and request.user.has_perm("inventory.change_writeoff"),
        "pass_form": PassForm(auto_id="pass_%s"),
        "refuse_form": RefuseForm(auto_id="refuse_%s"),
        "refused": refused,
    }
    return render(request, "counts/write_off.html", context, status=status)
