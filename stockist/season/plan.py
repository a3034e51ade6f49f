"""What to order for the season within its money: a page, and a spreadsheet of all of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory import reordering
from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.reordering import Outlook, SeasonPlan
from stockist.season.forms import MoneyForm
from stockist.steps import looking

ON_A_PAGE = 40
LOOK = "inventory.view_season"
HEADINGS = (
    *("SKU", "size", "place", "free now", "order", "costs", "currency"),
    "earns, with its mate",
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What was read and learnt, the money asked about, and the plan within it, where some is."""

    found: Outlook
    form: MoneyForm
    currency: str
    plan: SeasonPlan | None


def _asked(request: HttpRequest) -> Asked:
    found = reordering.outlook(at=timezone.now(), limit_months=settings.HOUSE_AGE_LIMIT_MONTHS)
    form = MoneyForm(request.GET or None)
    money = form.amount(found.season.budget if found.season else None)
    currency = found.season.currency if found.season else "GBP"
    plan = None if money is None else reordering.season_plan(found, money, currency)
    return Asked(found, form, currency, plan)


@looking(LOOK)
@require_GET
def plan(request: HttpRequest) -> HttpResponse:
    """What to order for the season within its money, and how near that is to the best."""
    asked = _asked(request)
    context: dict[str, Any] = {
        "season": asked.found.season,
        "form": asked.form,
        "currency": asked.currency,
    }
    if asked.plan is not None:
        context |= _planned(request, asked.found, asked.plan)
    return render(request, "season/plan.html", context)


def _planned(request: HttpRequest, found: Outlook, plan: SeasonPlan) -> dict[str, Any]:
    asked = request.GET.copy()
    asked.pop("page", None)
    shown = Paginator(plan.lines, ON_A_PAGE).get_page(request.GET.get("page"))
    rows = [
        {
            "pk": int(found.known.pk[line.row]),
            "size": found.known.size[line.row],
            "place": found.known.place[line.row],
            "free": int(found.situation.position.shelf.free[line.row]),
            "line": line,
        }
        for line in shown.object_list
    ]
    until: date = found.situation.house.season_end
    return {
        "plan": plan,
        "gap": f"{100 * plan.gap:.2f}",
        "rows": rows,
        "shown": shown,
        "asked": asked.urlencode(),
        "until": until,
    }


@looking(LOOK)
@require_GET
def plan_xlsx(request: HttpRequest) -> HttpResponse:
    """The whole plan as a spreadsheet."""
    asked = _asked(request)
    if asked.plan is None:
        raise Http404
    name = f'attachment; filename="season-plan-{timezone.localdate().isoformat()}.xlsx"'
    data = xlsx_of(_table(asked.found, asked.plan, asked.currency))
    return HttpResponse(data, content_type=XLSX, headers={"Content-Disposition": name})


def _table(found: Outlook, plan: SeasonPlan, currency: str) -> Iterator[list[Any]]:
    yield list(HEADINGS)
    free, known = found.situation.position.shelf.free, found.known
    for line in plan.lines:
        yield [
            *(line.code, known.size[line.row], known.place[line.row], int(free[line.row])),
            *(line.pieces, round(line.cost, 2), currency, round(line.gain, 2)),
        ]
