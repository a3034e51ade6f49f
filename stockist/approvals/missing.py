"""What the register does not cover, as a page and as a spreadsheet."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.lookup.coverage import Gap, Missing
from inventory.ground.backoffice.exporting import xlsx_of
from inventory.ground.sheets.safe import csv_of
from inventory.ground.uploads.serving import attachment
from stockist.approvals.forms import GapForm
from stockist.approvals.gaps import counted, gaps, table_of
from stockist.approvals.register import KINDS
from stockist.steps import looking

ON_A_PAGE = 50


@looking("fitments.view_approval")
@require_GET
def missing(request: HttpRequest) -> HttpResponse:
    """What is missing?"""
    form, found = _asked(request)
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {
        "form": form,
        "shown": Paginator(found, ON_A_PAGE).get_page(request.GET.get("page")),
        "counted": counted(found),
        "asked": asked.urlencode(),
    }
    return render(request, "approvals/missing.html", context)


@looking("fitments.view_approval")
@require_GET
def missing_file(request: HttpRequest, kind: str) -> HttpResponse:
    """The same as a spreadsheet."""
    if kind not in KINDS:
        raise Http404
    _, found = _asked(request)
    rows: Any = iter(table_of(found))
    data = csv_of(rows) if kind == "csv" else xlsx_of(rows)
    return attachment(data, name=f"missing.{kind}", media_type=KINDS[kind])


def _asked(request: HttpRequest) -> tuple[GapForm, list[Missing]]:
    form = GapForm(request.GET or {})
    wanted = form.cleaned_data["gap"] if form.is_valid() else ""
    found = gaps(at=timezone.now())
    return form, [one for one in found if not wanted or one.gap is Gap(wanted)]
