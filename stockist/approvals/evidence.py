"""Documents: which there are, which are due, one with its file; recorded, corrected, checked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.activities import evidence, results
from fitments.models.approval import Approval
from fitments.models.evidence import Evidence, EvidenceKind, EvidenceVersion
from inventory.ground.refusal import Refusal
from inventory.ground.uploads import FileIsGone, attachment, store, take
from stockist.approvals.forms import (
    CheckForm,
    CorrectEvidenceForm,
    EvidenceForm,
    EvidenceListForm,
    ResultForm,
)
from stockist.listing import Cell, Row, table
from stockist.selling.steps import step
from stockist.steps import by, doing, looking, told

HEADS = ("Document", "Kind", "What", "Issued by", "Dated", "Checked", "Due again")
EMPTY = "No document like that. Record one, or load the sheet of evidence."


def rows() -> QuerySet[Evidence]:
    """Documents with who wrote and who checked them."""
    return Evidence.objects.select_related("recorded_by", "written_by", "checked_by")


@looking("fitments.view_evidence")
@require_GET
def papers(request: HttpRequest) -> HttpResponse:
    """What do we hold, who has looked at it, what is due?"""
    at = timezone.now()
    form = EvidenceListForm(request.GET or {})
    found = _narrowed(rows(), form, at) if form.is_valid() else rows().none()
    context = {
        "title": "What does it rest on?",
        "form": form,
        "table": table(request, found.order_by("code"), HEADS, lambda one: row_of(one, at)),
        "empty": EMPTY,
        "doors": _doors(request),
    }
    return render(request, "stockist/list.html", context)


def _doors(request: HttpRequest) -> list[tuple[str, str]]:
    doors = [("The register", reverse("approvals:register"))]
    if request.user.has_perm("fitments.add_evidence"):
        doors.append(("Record a document", reverse("approvals:record")))
    return doors


def _narrowed(
    found: QuerySet[Evidence], form: EvidenceListForm, at: datetime
) -> QuerySet[Evidence]:
    said = form.cleaned_data
    if said["kind"]:
        found = found.filter(kind=said["kind"])
    if said["checked"] == "due":
        found = found.filter(due_on__lte=timezone.localdate(at))
    elif said["checked"]:
        found = found.filter(checked_at__isnull=said["checked"] == "no")
    for word in said["q"].split():
        alike = Q(code__icontains=word) | Q(reference__icontains=word)
        found = found.filter(alike | Q(issuer__icontains=word))
    return found


def row_of(paper: Evidence, at: datetime) -> Row:
    """A document in a list."""
    due = paper.due_on is not None and paper.due_on <= timezone.localdate(at)
    dated = paper.dated.isoformat() if paper.dated else ""
    cells = (
        Cell(paper.get_kind_display()), Cell(paper.reference), Cell(paper.issuer), Cell(dated),
        checked_cell(paper),
        Cell(paper.due_on.isoformat() if paper.due_on else "", *(("!", "caution") if due else ())),
    )  # fmt: skip
    return Row(paper.code, reverse("approvals:paper", args=[paper.pk]), cells)


def checked_cell(paper: Any) -> Cell:
    """Whether anybody has looked at it, and whether that was a second person."""
    if paper.checked_at is None:
        return Cell("claimed: nobody has checked it", "?", "cannot_tell")
    day = timezone.localdate(paper.checked_at).isoformat()
    if paper.self_checked:
        return Cell(f"self-checked by {paper.checked_by}, {day}", "!", "caution")
    return Cell(f"checked by {paper.checked_by}, {day}", "✓", "suits")


@looking("fitments.view_evidence")
@require_GET
def paper(request: HttpRequest, number: int) -> HttpResponse:
    """One document: what it says, its file, what rests on it, what was known of it before."""
    return page(request, get_object_or_404(rows(), pk=number))


def page(
    request: HttpRequest,
    found: Evidence,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of a document."""
    seen = evidence.version_of(found)
    kept = EvidenceVersion.objects.filter(evidence=found).exclude(pk=seen)
    resting = Approval.objects.filter(
        versions__evidence=found, versions__known__upper_inf=True
    ).distinct()
    context = {
        "paper": found,
        "checked": checked_cell(found),
        "before": kept.select_related("written_by", "checked_by").order_by("-pk"),
        "resting": resting.order_by("code")[:200],
        "results": found.results.select_related("sku").filter(withdrawn=False).order_by("pk"),
        "may_check": request.user.has_perm("fitments.change_evidence"),
        "may_add_results": found.kind == EvidenceKind.TEST_REPORT
        and request.user.has_perm("fitments.add_testresult"),
        "result": ResultForm(),
        "check": CheckForm(initial={"seen": seen}),
        "correct": CorrectEvidenceForm.of(found, seen),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "approvals/paper.html", context, status=status)


@looking("fitments.view_evidence")
@require_GET
def paper_file(request: HttpRequest, number: int) -> HttpResponse:
    """The file of a document, to be saved."""
    found = get_object_or_404(Evidence, pk=number)
    if not found.copy_digest:
        raise Http404
    try:
        content = store.content_of(found.copy_digest)
    except FileIsGone as gone:
        return page(request, found, refused=gone.sentence, status=gone.status)
    return attachment(content, name=found.file_name, media_type=found.media_type)


@doing("fitments.add_evidence")
def record(request: HttpRequest) -> HttpResponse:
    """Record a document, with its file if there is one."""
    form = EvidenceForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = evidence.record(
                **form.values(), file=_taken(form), by=by(request), at=timezone.now()
            )
        except Refusal as refusal:
            told(form, refusal)
        else:
            return redirect("approvals:paper", made.pk)
    status = 400 if form.is_bound else 200
    return render(request, "approvals/record.html", {"form": form}, status=status)


def _taken(form: Any) -> Any:
    file: UploadedFile[Any] | None = form.cleaned_data["file"]
    return take(file) if file else None


def _corrected(form: CorrectEvidenceForm) -> dict[str, Any]:
    return {**form.values(), "file": _taken(form)}


def _step(
    name: str, form: Any, work: Callable[..., Any], done: str, values: Any = None,
    permission: str = "fitments.change_evidence",
) -> Any:  # fmt: skip
    return step(
        permission=permission, rows=rows, called="evidence", form=form, name=name,
        work=work, page=page, to=lambda row: ("approvals:paper", row.pk), done=done, values=values,
    )  # fmt: skip


check = _step("check", CheckForm, evidence.check, "Checked: you have looked at it yourself.")
correct = _step(
    "correct", CorrectEvidenceForm, evidence.change,
    "Kept as a new version: it wants checking again.", _corrected,
)  # fmt: skip
result = _step(
    "result", ResultForm, results.record_result, "Recorded: the counter tells it with the tyre.",
    permission="fitments.add_testresult",
)  # fmt: skip
