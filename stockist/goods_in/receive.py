"""A delivery read tyre by tyre: three scans a line, what disagrees told at once."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import receiving
from inventory.ground.refusal import Refusal
from inventory.models.delivery import Delivery, DeliveryState
from inventory.models.sku import Sku
from stockist.goods_in.forms import LineForm, NoteForm, SkuForm, as_before
from stockist.goods_in.rows import delivery_row, line_said, picture_of, title_of, wanted_mark
from stockist.goods_in.scans import names_a_sku, not_wanted, skus_named
from stockist.steps import by, doing, focus, fresh_key, looking, told

LINES_ON_A_PAGE = 20


def of_number(number: int) -> Delivery:
    """The delivery of an address."""
    return get_object_or_404(Delivery.objects.with_names(), pk=number)


@looking("inventory.view_delivery")
@require_GET
def receive(request: HttpRequest, number: int) -> HttpResponse:
    """What was read so far, and the next tyre: its SKU first, then what is moulded on it."""
    return _page(request, of_number(number))


@doing("inventory.change_delivery")
@require_POST
def enter(request: HttpRequest, number: int) -> HttpResponse:
    """Enter a line, and be ready for the next tyre of the same SKU."""
    delivery = of_number(number)
    sku = get_object_or_404(Sku.objects.with_names(), code=request.POST.get("sku", ""))
    scanned = request.POST.get("date_code", "")
    if names_a_sku(scanned):
        return _to(delivery, scanned)
    form = LineForm(request.POST, sku=sku, agreed=_agreed(delivery, sku))
    if form.is_valid():
        try:
            entered = receiving.enter_line(
                delivery=delivery, sku=sku, by=by(request), at=timezone.now(), **form.values()
            )
        except Refusal as refusal:
            if not any(name in form.fields for name, _ in refusal.at_fault):
                words = refusal.sentence
                return _page(request, delivery, refused=words, status=refusal.status)
            told(form, refusal)
        else:
            said = line_said(entered.line)
            words = f"{said.sign} {entered.line.quantity} x {sku.code}, {said.read}: {said.words}"
            level = messages.WARNING if entered.line.disagrees else messages.SUCCESS
            messages.add_message(request, level, " ".join([words, *entered.warnings]))
            return _to(delivery, sku.code)
    return _page(request, delivery, sku=sku, form=form, status=400)


@doing("inventory.change_delivery")
@require_POST
def strike(request: HttpRequest, number: int, line: int) -> HttpResponse:
    """Take a line out that was entered by mistake."""
    delivery = of_number(number)
    try:
        receiving.strike_line(delivery=delivery, line=line, by=by(request), at=timezone.now())
    except Refusal as refusal:
        return _page(request, delivery, refused=refusal.sentence, status=refusal.status)
    messages.success(request, "Taken out.")
    return redirect("goods_in:receive", delivery.pk)


@doing("inventory.change_delivery")
@require_POST
def note(request: HttpRequest, number: int) -> HttpResponse:
    """Say how many of a SKU the delivery note says."""
    delivery, form = of_number(number), NoteForm(request.POST)
    if not form.is_valid():
        words = " ".join(str(error) for errors in form.errors.values() for error in errors)
        return _page(request, delivery, refused=words, status=400)
    try:
        receiving.note_says(
            delivery=delivery,
            sku=form.cleaned_data["sku"],
            quantity=form.cleaned_data["quantity"],
            by=by(request),
            at=timezone.now(),
        )
    except Refusal as refusal:
        return _page(request, delivery, refused=refusal.sentence, status=refusal.status)
    return redirect("goods_in:receive", delivery.pk)


def _to(delivery: Delivery, sku: str) -> HttpResponseRedirect:
    address = reverse("goods_in:receive", args=[delivery.pk])
    return HttpResponseRedirect(f"{address}?{urlencode({'sku': sku})}")


def _page(
    request: HttpRequest,
    delivery: Delivery,
    *,
    sku: Sku | None = None,
    form: LineForm | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    scanned = request.GET.get("sku", "")
    several: list[Sku] = []
    if sku is None and scanned:
        several = skus_named(scanned)
        if len(several) == 1:
            sku, several = several[0], []
    lines = delivery.lines.select_related("sku").order_by("-pk")
    if sku is not None and form is None:
        before = as_before(lines.filter(sku=sku).first())
        form = LineForm(sku=sku, agreed=_agreed(delivery, sku), initial=before)
    if form is not None:
        focus(form, "date_code")
    shown = Paginator(lines, LINES_ON_A_PAGE).get_page(request.GET.get("page"))
    context: dict[str, Any] = {
        "delivery": delivery,
        "row": delivery_row(delivery),
        "in_progress": delivery.state == DeliveryState.IN_PROGRESS,
        "mine": delivery.at_work_by == request.user,
        "may_book": request.user.has_perm("inventory.change_delivery"),
        "standing": receiving.standing(delivery),
        "shown": shown,
        "lines": [line_said(line) for line in shown],
        "scan": SkuForm(initial={"sku": ""}),
        "unknown": _unknown(scanned) if scanned and sku is None and not several else "",
        "several": [(one, title_of(one)) for one in several],
        "form": form,
        "refused": refused,
        "key": fresh_key(),
    }
    context |= _wanted(sku)
    return render(request, "goods_in/receive.html", context, status=status)


def _agreed(delivery: Delivery, sku: Sku) -> receiving.Agreed:
    """What the supplier's terms say of a tyre: where it is made, of which pattern issue."""
    return receiving.agreed_with(delivery.supplier, {sku.pk: None})[sku.pk]


def _unknown(scanned: str) -> str:
    return not_wanted(scanned, "the code of a SKU or its GTIN")


def _wanted(sku: Sku | None) -> dict[str, Any]:
    """What should be read on the tyre in hand."""
    if sku is None:
        return {"sku": None, "title": "", "mark": "", "picture": None}
    return {
        "sku": sku,
        "title": title_of(sku),
        "mark": wanted_mark(sku),
        "picture": picture_of(sku),
    }
