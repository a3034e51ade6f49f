"""Which approvals are to be looked at again? As a page and as a spreadsheet."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.lookup.reviews import HORIZON_DAYS, Review, reviews_due
from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.ground.models import Job
from stockist.reviews.job import KIND
from stockist.steps import looking

ON_A_PAGE = 50
LOOK = "fitments.view_approval"
HEADINGS = ("approval", "of", "tyre", "due on", "why")


class HorizonForm(forms.Form):
    """How far ahead, and what is looked for."""

    q = forms.CharField(label="Approval, range or size", max_length=60, required=False)
    days = forms.IntegerField(label="Days ahead", min_value=0, max_value=3660, required=False)

    def chosen(self) -> list[Review]:
        """The approvals asked for, the longest due first."""
        said = self.cleaned_data if self.is_valid() else {}
        days = said.get("days")
        words = said.get("q", "").casefold()
        found = reviews_due(
            on=timezone.localdate(), days=HORIZON_DAYS if days is None else int(days)
        )
        return [one for one in found if words in f"{one.code} {one.scope} {one.tyre}".casefold()]


@looking(LOOK)
@require_GET
def due(request: HttpRequest) -> HttpResponse:
    """Which approvals are to be looked at again?"""
    form = HorizonForm(request.GET or None)
    today = timezone.localdate()
    asked = request.GET.copy()
    asked.pop("page", None)
    found = form.chosen()
    context = {
        "form": form,
        "shown": Paginator(found, ON_A_PAGE).get_page(request.GET.get("page")),
        "late": sum(one.overdue(today) for one in found),
        "asked": asked.urlencode(),
        "today": today,
        "horizon": HORIZON_DAYS,
        "latest": Job.objects.filter(kind=KIND).exclude(result="").order_by("-pk").first(),
    }
    return render(request, "reviews/due.html", context)


@looking(LOOK)
@require_GET
def due_xlsx(request: HttpRequest) -> HttpResponse:
    """The same as a spreadsheet."""
    rows: list[list[Any]] = [list(HEADINGS)]
    for one in HorizonForm(request.GET or None).chosen():
        rows.append([one.code, one.scope, one.tyre, one.due_on, "; ".join(one.reasons)])
    name = f'attachment; filename="reviews-{timezone.localdate().isoformat()}.xlsx"'
    data = xlsx_of(iter(rows))
    return HttpResponse(data, content_type=XLSX, headers={"Content-Disposition": name})
