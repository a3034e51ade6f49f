"""One meeting of a van: what was loaded, what was sold, what is left, what did not come back."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from inventory.activities import outings as activity
from inventory.activities.outings import Stands
from inventory.models.outing import Outing
from inventory.models.transfer import TO_COME
from stockist.steps import looking
from stockist.vans.forms import LoadForm, SellForm, UnloadForm

CHANGE = "inventory.change_outing"
SELL = "inventory.add_order"


def of_number(number: int) -> Outing:
    """The outing of an address."""
    rows = Outing.objects.select_related("van", "home", "opened_by", "ended_by")
    return get_object_or_404(rows, pk=number)


@looking("inventory.view_outing")
@require_GET
def outing(request: HttpRequest, number: int) -> HttpResponse:
    """What was loaded, sold, is left; and what may be done."""
    return page(request, of_number(number))


def page(
    request: HttpRequest,
    found: Outing,
    *,
    status: int = 200,
    refused: str = "",
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of an outing."""
    stands = activity.standing(found)
    out = found.ended_at is None
    may = request.user.has_perm
    context = {
        "outing": found,
        "out": out,
        "stands": stands,
        "sums": _sums(stands),
        "to_come": found.transfers.filter(to_site=found.home, state__in=TO_COME).order_by("pk"),
        "may_load": out and may(CHANGE),
        "may_sell": out and may(SELL),
        "load": LoadForm(),
        "sell": SellForm(),
        "unload": UnloadForm(stands=stands),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "vans/outing.html", context, status=status)


def _sums(stands: list[Stands]) -> dict[str, int]:
    names = ("before", "loaded", "sold", "otherwise", "back", "left", "arrived", "to_come")
    sums = {name: sum(getattr(one, name) for one in stands) for name in names}
    return sums | {"missing": sum(one.missing for one in stands)}
