"""What will run out, by when and why: the buyer's list, and one SKU of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inventory.activities import alerting
from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.ground.refusal import Refusal
from inventory.ground.sheets.loading import load
from inventory.models.alert import Alert
from inventory.models.sku import Sku
from inventory.pages.forms import SheetForm
from inventory.reordering.demand import By, demand_of
from inventory.reordering.range import NOT_BOUGHT
from stockist.drawings.course import course
from stockist.reorder.ahead import ahead_of
from stockist.reorder.coming_back import COMING_BACK
from stockist.reorder.forms import AlertsForm, LeaveForm, OverrideForm, SeenForm
from stockist.reorder.pair import with_mate
from stockist.reorder.rows import alert_rows, facts, table
from stockist.reorder.taught import taught
from stockist.steps import by, doing, looking

ON_A_PAGE, SHOWN_MONTHS = 40, 24
LOOK, CHANGE = "inventory.view_alert", "inventory.change_alert"


@looking(LOOK)
@require_GET
def alerts(request: HttpRequest) -> HttpResponse:
    """Every alert that is to be seen to, the most urgent first."""
    today = timezone.localdate()
    form = AlertsForm(request.GET or None)
    rows = form.alerts(today)
    shown = Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page"))
    asked = request.GET.copy()
    asked.pop("page", None)
    latest = Alert.objects.standing().order_by("-seen_at").first()
    context = {
        "form": form,
        "rows": alert_rows(shown.object_list, today),
        "shown": shown,
        "asked": asked.urlencode(),
        "late": rows.filter(order_by__lt=today).count(),
        "sums": rows.order_by().values("currency").annotate(cost=Sum("cost")).order_by("currency"),
        "latest": latest.seen_at if latest else None,
    }
    return render(request, "reorder/list.html", context)


@looking(LOOK)
@require_GET
def as_xlsx(request: HttpRequest) -> HttpResponse:
    """The same as a spreadsheet; its own numbers come back by the sheet of buyers' own numbers."""
    today = timezone.localdate()
    rows = alert_rows(AlertsForm(request.GET or None).alerts(today), today)
    name = f'attachment; filename="reorder-{today.isoformat()}.xlsx"'
    data = xlsx_of(table(rows, today))
    return HttpResponse(data, content_type=XLSX, headers={"Content-Disposition": name})


@doing("inventory.add_alertoverride")
def bring_back(request: HttpRequest) -> HttpResponse:
    """The spreadsheet that went out comes back with the buyer's own numbers: all, or none."""
    if request.method != "POST":
        return render(request, "reorder/bring_back.html", {"form": SheetForm()})
    form = SheetForm(request.POST, request.FILES)
    refused: Refusal | None = None
    if form.is_valid():
        name = form.cleaned_data["file"].name
        try:
            done = load(
                COMING_BACK, form.data_of_file(), by=by(request), at=timezone.now(), file_name=name
            )
        except Refusal as refusal:
            refused, form = refusal, SheetForm()
        else:
            messages.success(
                request, f"{done.new} of your own numbers kept, {done.same} as before."
            )
            return redirect("reorder:list")
    context = {"form": form, "refused": refused, "problems": getattr(refused, "shown", ())}
    status = refused.status if refused else 400
    return render(request, "reorder/bring_back.html", context, status=status)


@looking(LOOK)
@require_GET
def sku(request: HttpRequest, number: int) -> HttpResponse:
    """One SKU: its alert where one stands, its course ahead, and its months so far."""
    return _page(request, number)


def _page(
    request: HttpRequest,
    number: int,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    found = get_object_or_404(Sku.objects.with_names(), pk=number)
    today, at = timezone.localdate(), timezone.now()
    alert = Alert.objects.standing().filter(sku=found).select_related("supplier", "batch").first()
    row = alert_rows([alert], today)[0] if alert else None
    told = alert.told if alert else {}
    learnt = taught(at) if alert is None and found.status not in NOT_BOUGHT else None
    context = {
        "sku": found,
        "row": row,
        "told": told,
        "facts": facts(alert) if alert else [],
        "course": course(told.get("course", {}), _since(told)) if told else None,
        "pair": with_mate(found, at),
        "learnt": learnt,
        "ahead": ahead_of(found, learnt, at) if learnt else None,
        "months": demand_of(found, at=at, by=By.MONTH, count=SHOWN_MONTHS),
        "own_numbers": alert.overrides.select_related("made_by") if alert else [],
        "may_answer": request.user.has_perm(CHANGE),
        "may_override": request.user.has_perm("inventory.add_alertoverride"),
        "seen": SeenForm(),
        "leave": LeaveForm(),
        "override": OverrideForm(),
        "limit": settings.HOUSE_AGE_LIMIT_MONTHS,
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "reorder/sku.html", context, status=status)


def _since(told: dict[str, Any]) -> date:
    return date.fromisoformat(told["cover"]["since"])


def _step(
    name: str, form: type[Any], work: Callable[..., Any], done: str, needs: str
) -> Callable[[HttpRequest, int], HttpResponse]:
    @doing(needs)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        alert = get_object_or_404(Alert.objects.standing(), sku_id=number)
        said = form(request.POST)
        if not said.is_valid():
            return _page(request, number, status=400, bound={name: said})
        values = {key: one for key, one in said.cleaned_data.items() if key != "idempotency_key"}
        try:
            work(alert=alert, by=by(request), at=timezone.now(), **values)
        except Refusal as refusal:
            return _page(request, number, refused=refusal.sentence, status=refusal.status)
        messages.success(request, done)
        return redirect("reorder:sku", number)

    return answered


acknowledge = _step("seen", SeenForm, alerting.acknowledge, "Kept: you see to it.", CHANGE)
leave = _step("leave", LeaveForm, alerting.leave, "Left until that day.", CHANGE)
override = _step(
    "override",
    OverrideForm,
    alerting.override,
    "Kept; the tool's own number stays beside it.",
    "inventory.add_alertoverride",
)
