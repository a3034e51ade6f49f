"""Orders to suppliers: what is on order, and each from draft to its end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import purchasing
from inventory.activities.purchasing.judging import not_on_terms
from inventory.ground.refusal import Refusal
from inventory.models.expected import ExpectedDelivery
from inventory.models.purchase import OPEN, PurchaseOrder, PurchaseState
from stockist.listing import newest_first
from stockist.purchasing.forms import (
    DraftForm,
    DropForm,
    EndForm,
    ExpectedForm,
    LineForm,
    OrdersForm,
    Seen,
    SendForm,
)
from stockist.purchasing.rows import line_said, order_row, total_said
from stockist.steps import by, doing, fresh_key, looking, told

CHANGE = "inventory.change_purchaseorder"
ON_A_PAGE = 50


@looking("inventory.view_purchaseorder")
@require_GET
def orders(request: HttpRequest) -> HttpResponse:
    """What is on order, the newest first."""
    form = OrdersForm(request.GET or None)
    listing = newest_first(request, form.orders().prefetch_related("lines"))
    context = {
        "rows": [order_row(one) for one in listing.rows],
        "more": listing.more,
        "form": form,
        "may_order": request.user.has_perm("inventory.add_purchaseorder"),
    }
    return render(request, "purchasing/orders.html", context)


@looking("inventory.view_purchaseorder")
@require_GET
def expected(request: HttpRequest) -> HttpResponse:
    """What is expected, by day."""
    form = ExpectedForm(request.GET or None)
    rows = ExpectedDelivery.objects.still_to_come().select_related("sku", "purchase_line")
    if form.is_valid() and form.cleaned_data["sku"]:
        rows = rows.filter(sku=form.cleaned_data["sku"])
    if form.is_valid() and form.cleaned_data["until"]:
        rows = rows.filter(expected_on__lte=form.cleaned_data["until"])
    shown = Paginator(rows.order_by("expected_on", "pk"), ON_A_PAGE)
    page = shown.get_page(request.GET.get("page"))
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {"shown": page, "form": form, "asked": asked.urlencode()}
    return render(request, "purchasing/expected.html", {**context, "today": timezone.localdate()})


@doing("inventory.add_purchaseorder")
def draft(request: HttpRequest) -> HttpResponse:
    """Begin an order."""
    form = DraftForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        said = {name: one for name, one in form.cleaned_data.items() if name != "idempotency_key"}
        try:
            order = purchasing.draft(by=by(request), at=timezone.now(), **said)
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("purchasing:order", order.pk)
    status = 400 if form.is_bound else 200
    return render(request, "purchasing/draft.html", {"form": form}, status=status)


@looking("inventory.view_purchaseorder")
@require_GET
def order(request: HttpRequest, number: int) -> HttpResponse:
    """One order: its lines, how far each has come, and what may be done."""
    return _page(request, number)


def _page(
    request: HttpRequest,
    number: int,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    found = get_object_or_404(PurchaseOrder.objects.with_names(), pk=number)
    lines = list(found.lines.select_related("sku").order_by("sku__code", "pk"))
    seen = {"seen": found.version}
    is_draft = found.state == PurchaseState.DRAFT
    context = {
        "order": found,
        "row": order_row(found),
        "lines": [line_said(line, is_draft=is_draft) for line in lines],
        "total": total_said(found, lines),
        "is_draft": is_draft,
        "is_open": found.state in OPEN,
        "not_on_terms": not_on_terms(found, on=timezone.localdate()) if is_draft else [],
        "may_change": request.user.has_perm(CHANGE) and (is_draft or found.state in OPEN),
        "may_book": request.user.has_perm("inventory.add_delivery") and found.state in OPEN,
        "line": LineForm(initial=seen),
        "send": SendForm(initial=seen),
        "end": EndForm(initial=seen),
        "key": fresh_key(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "purchasing/order.html", context, status=status)


def _step(
    name: str, form: type[Seen], work: Callable[..., Any], done: str
) -> Callable[[HttpRequest, int], HttpResponse]:
    @doing(CHANGE)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        found = get_object_or_404(PurchaseOrder, pk=number)
        said = form(request.POST)
        if not said.is_valid():
            return _page(request, number, status=400, bound={name: said})
        values = said.values() if isinstance(said, LineForm) else dict(said.cleaned_data)
        values.pop("idempotency_key", None)
        try:
            work(order=found, by=by(request), at=timezone.now(), **values)
        except Refusal as refusal:
            words, status = refusal.sentence, refusal.status
            return _page(request, number, refused=words, status=status)
        messages.success(request, done)
        return redirect("purchasing:order", number)

    return answered


set_line = _step("line", LineForm, purchasing.set_line, "Kept.")
drop_line = _step("drop", DropForm, purchasing.drop_line, "Taken off.")
send = _step("send", SendForm, purchasing.send, "Sent: its tyres are expected from now on.")
cancel = _step("end", EndForm, purchasing.cancel, "Cancelled: nothing of it is expected any more.")
give_up_rest = _step(
    "end", EndForm, purchasing.give_up_rest, "What was still to come is no longer waited for."
)
