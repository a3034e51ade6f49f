"""What one SKU was asked for, by month or week; and the sizes that were asked for without one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.models.sku import Sku
from inventory.reordering.demand import By, Span, demand_of
from inventory.reordering.sizes import SizeAsked, sizes_asked
from stockist.steps import looking

ON_A_PAGE = 52
LOOK = "inventory.view_alert"
HEADINGS = (
    *("from", "to", "sold less returned", "asked for and not had, some there"),
    *("asked for in vain, none there", "days", "days with some to sell"),
)
_ORDERS: dict[str, Any] = {
    "": lambda one: (-one.pieces, one.size),
    "latest": lambda one: (-one.latest.toordinal(), one.size),
    "size": lambda one: one.size,
}


class PeriodsForm(forms.Form):
    """By months or by weeks."""

    by = forms.ChoiceField(
        label="By", choices=[(By.MONTH.value, "month"), (By.WEEK.value, "week")], required=False
    )

    @property
    def chosen(self) -> By:
        """Months unless told."""
        return By((self.is_valid() and self.cleaned_data["by"]) or By.MONTH)


class SizesForm(forms.Form):
    """Which sizes, and in what order."""

    q = forms.CharField(label="Size", max_length=60, required=False)
    served = forms.ChoiceField(
        label="Shown", required=False,
        choices=[("", "all"), ("no", "no SKU has it"), ("yes", "some SKU has it")],
    )  # fmt: skip
    by = forms.ChoiceField(
        label="In order of", required=False,
        choices=[("", "pieces, most first"), ("latest", "the latest first"), ("size", "size")],
    )  # fmt: skip

    def chosen(self, found: Iterable[SizeAsked]) -> list[SizeAsked]:
        """Those asked for, in their order."""
        said = self.cleaned_data if self.is_valid() else {}
        words, served = said.get("q", "").casefold(), said.get("served", "")
        kept = [
            one
            for one in found
            if words in one.size.casefold() and (not served or (one.skus > 0) is (served == "yes"))
        ]
        return sorted(kept, key=_ORDERS[said.get("by", "")])


@looking(LOOK)
@require_GET
def demand(request: HttpRequest, number: int) -> HttpResponse:
    """What was one SKU asked for?"""
    sku = get_object_or_404(Sku.objects.with_names(), pk=number)
    form = PeriodsForm(request.GET or None)
    found = demand_of(sku, at=timezone.now(), by=form.chosen)
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "sku": sku,
        "form": form,
        "by": form.chosen.value,
        "shown": Paginator(found, ON_A_PAGE).get_page(request.GET.get("page")),
        "asked": asked.urlencode(),
        "sums": _sums(found),
    }
    return render(request, "reorder/demand.html", context)


def _sums(found: list[Span]) -> dict[str, Any]:
    known = [span for span in found if span.days_with is not None]
    return {
        "sold": sum(span.sold for span in found),
        "vain": round(sum(span.not_had for span in found), 1),
        "without": sum(span.days_without or 0 for span in known),
        "days": sum(span.days for span in known),
    }


@looking(LOOK)
@require_GET
def demand_xlsx(request: HttpRequest, number: int) -> HttpResponse:
    """The same as a spreadsheet, every period."""
    sku = get_object_or_404(Sku, pk=number)
    by = PeriodsForm(request.GET or None).chosen
    data = xlsx_of(_table(demand_of(sku, at=timezone.now(), by=by)))
    name = f'attachment; filename="demand-{sku.pk}-{by.value}.xlsx"'
    return HttpResponse(data, content_type=XLSX, headers={"Content-Disposition": name})


def _table(found: Iterable[Span]) -> Iterator[list[Any]]:
    yield list(HEADINGS)
    for span in found:
        yield [
            *(span.first, span.last, span.sold, span.unmet, span.in_vain, span.days),
            span.days_with,
        ]


@looking(LOOK)
@require_GET
def sizes(request: HttpRequest) -> HttpResponse:
    """Which sizes were asked for, and not had?"""
    form = SizesForm(request.GET or None)
    found = form.chosen(sizes_asked(timezone.now()))
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "form": form,
        "shown": Paginator(found, ON_A_PAGE).get_page(request.GET.get("page")),
        "asked": asked.urlencode(),
    }
    return render(request, "reorder/sizes.html", context)
