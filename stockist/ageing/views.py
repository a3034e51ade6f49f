"""What grows old, where, and what may be done about it; nothing is written off by itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
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

from inventory.activities import alerting, blocking
from inventory.ageing import ADVICE, bands, tyres_by_week
from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.ground.refusal import Refusal
from inventory.models.alert import AgeingAlert
from inventory.models.lot import BlockReason
from stockist.ageing.forms import AgeingForm
from stockist.ageing.offering import OfferForm, put_on_offer
from stockist.ageing.ways import on_offer, to_suppliers, ways_away
from stockist.drawings.ages import ages
from stockist.reorder.forms import LeaveForm, SeenForm
from stockist.steps import by, doing, looking

ON_A_PAGE = 40
LOOK, CHANGE = "inventory.view_ageingalert", "inventory.change_ageingalert"
HEADINGS = (
    *("lot", "SKU", "date code", "crosses on", "pieces", "sites", "expected left"),
    *("money at stake", "currency", "suggestion", "why"),
)


@looking(LOOK)
@require_GET
def ageing(request: HttpRequest) -> HttpResponse:
    """Ages by site, and the lots that cross the house's limit before they are likely to sell."""
    today = timezone.localdate()
    form = AgeingForm(request.GET or None)
    rows = form.alerts(today)
    asked = request.GET.copy()
    asked.pop("page", None)
    sums = rows.order_by().values("currency").annotate(money=Sum("money")).order_by("currency")
    context = {
        **_by_site(tyres_by_week(), today),
        "form": form,
        "shown": Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page")),
        "asked": asked.urlencode(),
        "sums": [one for one in sums if one["money"]],
        "limit": settings.HOUSE_AGE_LIMIT_MONTHS,
        "advice": ADVICE,
        "today": today,
    }
    return render(request, "ageing/list.html", context)


def _by_site(tyres: Sequence[tuple[str, int | None, int]], today: date) -> dict[str, Any]:
    """Pieces by site and band, those of unknown age last."""
    told = bands(settings.HOUSE_AGE_LIMIT_MONTHS)
    names = [*(band.words for band in told), "age not known"]
    sites: dict[str, list[int]] = defaultdict(lambda: [0] * len(names))
    for site, week, pieces in tyres:
        place = len(told)
        if week is not None:
            place = next((n for n, band in enumerate(told) if band.holds(week, today)), place)
        sites[site][place] += pieces
    ordered = {site: sites[site] for site in sorted(sites)}
    return {"bands": names, "sites": ordered.items(), "ages": ages(ordered, names)}


@looking(LOOK)
@require_GET
def as_xlsx(request: HttpRequest) -> HttpResponse:
    """The same lots as a spreadsheet."""
    today = timezone.localdate()
    rows = AgeingForm(request.GET or None).alerts(today)
    table = [list(HEADINGS), *(_cells(one) for one in rows)]
    name = f'attachment; filename="ageing-{today.isoformat()}.xlsx"'
    data = xlsx_of(iter(table))
    return HttpResponse(data, content_type=XLSX, headers={"Content-Disposition": name})


def _cells(one: AgeingAlert) -> list[Any]:
    sites = ", ".join(f"{site} {number}" for site, number in one.told["sites"].items())
    return [
        *(one.lot.code, one.lot.sku.code, one.lot.date_code, one.crosses_on, one.pieces, sites),
        *(one.expected_left, one.money, one.currency, one.get_suggestion_display(), one.sentence),
    ]


@looking(LOOK)
@require_GET
def lot(request: HttpRequest, number: int) -> HttpResponse:
    """One lot that grows old."""
    return _page(request, number)


def _page(
    request: HttpRequest,
    number: int,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    rows = AgeingAlert.objects.standing().select_related("lot__sku", "acknowledged_by", "left_by")
    found = get_object_or_404(rows, pk=number)
    today, may_price = timezone.localdate(), request.user.has_perm("inventory.add_agestep")
    offered = on_offer(found.lot, today)
    context = {
        "alert": found,
        "offered": offered,
        "offer": OfferForm(initial={"from_months": offered.months if offered else None}),
        "may_price": may_price and request.user.has_perm("inventory.change_agestep"),
        "away": ways_away(found),
        "may_transfer": request.user.has_perm("inventory.add_transfer"),
        "suppliers": to_suppliers(found, settings.SHOP_NAME),
        "sites": found.told["sites"].items(),
        "past": found.crosses_on <= today,
        "advice": ADVICE,
        "may_answer": request.user.has_perm(CHANGE),
        "may_block": request.user.has_perm("inventory.add_block"),
        "seen": SeenForm(),
        "leave": LeaveForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "ageing/lot.html", context, status=status)


def _step(
    name: str, form: type[Any], work: Callable[..., Any], done: str, needs: str
) -> Callable[[HttpRequest, int], HttpResponse]:
    @doing(needs)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        alert = get_object_or_404(AgeingAlert.objects.standing(), pk=number)
        said = form(request.POST)
        if not said.is_valid():
            return _page(request, number, status=400, bound={name: said})
        values = {key: one for key, one in said.cleaned_data.items() if key != "idempotency_key"}
        try:
            work(alert=alert, by=by(request), at=timezone.now(), **values)
        except Refusal as refusal:
            return _page(request, number, refused=refusal.sentence, status=refusal.status)
        messages.success(request, done)
        return redirect("ageing:lot", number)

    return answered


def _take_off_sale(*, alert: AgeingAlert, by: Any, at: Any) -> None:
    reason = (
        BlockReason.TOO_OLD if alert.crosses_on <= timezone.localdate(at) else BlockReason.OFF_SALE
    )
    blocking.block(lot=alert.lot, reason=reason.value, note=alert.sentence, by=by, at=at)


offer = _step(
    "offer",
    OfferForm,
    put_on_offer,
    "Kept: the step counts for every tyre of that age from now on.",
    "inventory.change_agestep",
)
acknowledge = _step("seen", SeenForm, alerting.acknowledge, "Kept: you see to it.", CHANGE)
leave = _step("leave", LeaveForm, alerting.leave, "Left until that day.", CHANGE)
off_sale = _step(
    "seen",
    SeenForm,
    _take_off_sale,
    "Taken off sale; nothing is written off.",
    "inventory.add_block",
)
