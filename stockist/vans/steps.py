"""What is done with a van: loaded, and unloaded with what did not come back told."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.activities import outings as activity
from inventory.ground.refusal import Refusal
from inventory.models.transfer import Transfer
from stockist.steps import by, doing, told
from stockist.vans.forms import LoadForm, UnloadForm
from stockist.vans.outing import CHANGE, of_number, page


@doing(CHANGE)
@require_POST
def load(request: HttpRequest, number: int) -> HttpResponse:
    """Load tyres from the racks into the van."""
    found, form = of_number(number), LoadForm(request.POST)
    if not form.is_valid():
        return page(request, found, status=400, bound={"load": form})
    said = {name: form.cleaned_data[name] for name in ("into", "loads", "they_fit")}
    try:
        done = activity.load(outing=found, by=by(request), at=timezone.now(), **said)
    except Refusal as refusal:
        told(form, refusal)
        return page(request, found, status=refusal.status, bound={"load": form})
    tyres = sum(one.quantity for one in said["loads"])
    messages.success(request, f"✓ {tyres} loaded into {said['into']} by {done}.")
    return redirect("vans:outing", number)


@doing(CHANGE)
@require_POST
def unload(request: HttpRequest, number: int) -> HttpResponse:
    """All that is left comes home: as it was counted, or to be scanned in there."""
    found = of_number(number)
    form = UnloadForm(request.POST, stands=activity.standing(found))
    if not form.is_valid():
        return page(request, found, status=400, bound={"unload": form})
    said = form.cleaned_data
    came, into = ({}, None) if form.by_scan else (form.came(), said["into"])
    try:
        sent = activity.unload(
            outing=found, came=came, into=into, they_fit=said["they_fit"],
            by=by(request), at=timezone.now(),
        )  # fmt: skip
    except Refusal as refusal:
        told(form, refusal)
        return page(request, found, status=refusal.status, bound={"unload": form})
    if sent is None:
        messages.success(request, "✓ Nothing was left in the van.")
        return redirect("vans:outing", number)
    return _led_on(request, number, sent, by_scan=form.by_scan)


def _led_on(request: HttpRequest, number: int, sent: Transfer, *, by_scan: bool) -> HttpResponse:
    """To what is still to be done: to scan it in, or to say what became of what is not there."""
    left = sum(line.to_come for line in sent.lines.order_by("pk"))
    if by_scan:
        messages.success(request, f"{left} are to be scanned in.")
        return redirect("goods_in:transfer", sent.pk)
    if left:
        messages.warning(request, f"! {left} did not come back: say below what became of them.")
        return redirect("goods_in:transfer", sent.pk)
    messages.success(request, "✓ All that was left by the books came back.")
    return redirect("vans:outing", number)
