"""The register on pages: as known on a day, in force on a day; as a list and as a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.lookup.register import (
    days_of,
    mark_of,
    register_of,
    scope_of,
    standing_of,
    tyre_of,
    worth,
)
from fitments.rules.values import Basis
from inventory.ground.backoffice.exporting import XLSX, xlsx_of
from inventory.ground.sheets.safe import csv_of
from inventory.ground.uploads.serving import attachment
from stockist.approvals.forms import RegisterForm
from stockist.listing import Cell, Row, table
from stockist.steps import looking

HEADS = ("Approval", "By, for", "Axle", "Tyre", "In force", "How it stands", "Rests on")
COLUMNS = (
    *("approval", "by, for", "axle", "size", "pattern", "compound", "mark", "from", "to"),
    *("withdrawn on", "superseded by", "least load index", "buffing allowed", "conditions"),
    *("rests on", "evidence", "known from", "recorded by", "why"),
)
KINDS = {"csv": "text/csv; charset=utf-8", "xlsx": XLSX}
SIGNS = {
    Basis.CHECKED: ("✓", "suits"),
    Basis.SELF_CHECKED: ("!", "caution"),
    Basis.CLAIMED: ("?", "cannot_tell"),
    Basis.NONE: ("?", "cannot_tell"),
}
EMPTY = (
    "The register says nothing like that. Load the sheet of approvals, or ask about another day."
)


@looking("fitments.view_approval")
@require_GET
def register(request: HttpRequest) -> HttpResponse:
    """What is approved for which car, by whom, as known on a day, in force on a day?"""
    at = timezone.now()
    form = RegisterForm(request.GET or {})
    known_on, on, rows = _asked(form, at)
    context = {
        "title": "What is approved, by whom, on what evidence?",
        "form": form,
        "table": table(request, rows, HEADS, lambda one: row_of(one, known_on, on, at)),
        "empty": EMPTY,
        "said": _said(known_on, form.cleaned_data.get("in_force_on")),
        "asked": request.GET.urlencode(),
        "may_record": request.user.has_perm("fitments.add_evidence"),
    }
    return render(request, "approvals/register.html", context)


@looking("fitments.view_approval")
@require_GET
def register_file(request: HttpRequest, kind: str) -> HttpResponse:
    """The same as a spreadsheet, whole; nothing in it can start a formula."""
    if kind not in KINDS:
        raise Http404
    at = timezone.now()
    known_on, _, rows = _asked(RegisterForm(request.GET or {}), at)
    lines = cells_of(rows, known_on, at)
    data = csv_of(lines) if kind == "csv" else xlsx_of(lines)
    day = (known_on or timezone.localdate(at)).isoformat()
    return attachment(data, name=f"approvals-known-{day}.{kind}", media_type=KINDS[kind])


def row_of(version: Any, known_on: date | None, on: date, at: datetime) -> Row:
    """A line of the register."""
    approval = version.approval
    basis = worth(version, known_on=known_on, at=at)
    words, sign, tone = standing_of(version, on=on)
    cells = (
        Cell(scope_of(approval)), Cell(approval.axle), Cell(tyre_of(approval)),
        Cell(days_of(version)), Cell(words, sign, tone), Cell(basis.words, *SIGNS[basis]),
    )  # fmt: skip
    return Row(approval.code, reverse("approvals:approval", args=[approval.pk]), cells)


def cells_of(rows: Any, known_on: date | None, at: datetime) -> Iterator[list[Any]]:
    """The rows of a spreadsheet, the headings first."""
    yield list(COLUMNS)
    for one in rows:
        approval = one.approval
        yield [
            approval.code,
            scope_of(approval),
            approval.axle,
            approval.size or "any",
            str(approval.pattern or "any"),
            approval.compound.code if approval.compound else "any",
            mark_of(approval),
            one.valid.lower,
            _last(one),
            one.withdrawn_on,
            one.superseded_by.code if one.superseded_by else "",
            one.least_load_index,
            {True: "yes", False: "no", None: ""}[one.buffing_allowed],
            one.conditions,
            worth(one, known_on=known_on, at=at).words,
            "; ".join(paper.code for paper in one.papers),
            timezone.localtime(one.known.lower).isoformat(" ", "seconds"),
            str(one.recorded_by),
            one.why,
        ]


def _asked(form: RegisterForm, at: datetime) -> tuple[date | None, date, Any]:
    """As known on which day (None: now), judged for which day, and the rows."""
    if not form.is_valid():
        form.cleaned_data = {}
        nothing = register_of(known_on=None, in_force_on=None, at=at).none()
        return None, timezone.localdate(at), nothing
    said = form.cleaned_data
    known_on, on = said["known_on"], said["in_force_on"]
    rows = form.narrowed(register_of(known_on=known_on, in_force_on=on, at=at))
    return known_on, on or known_on or timezone.localdate(at), rows


def _said(known_on: date | None, in_force_on: date | None) -> str:
    known = f"as it was known when {known_on.isoformat()} was over" if known_on else "as known now"
    force = f"in force on {in_force_on.isoformat()}" if in_force_on else "for any day"
    return f"The register {known}, {force}."


def _last(version: Any) -> str:
    return days_of(version).rpartition("to ")[2] if version.valid.upper else ""
