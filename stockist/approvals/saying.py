"""Something is said of an approval: a new one, a correction, another period; a new issue of all."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from fitments.activities import approvals, issues
from fitments.activities.versions import Said
from fitments.lookup.register import days_of, scope_of, tyre_of
from fitments.models.approval import ApprovalVersion
from fitments.models.mark import IssuerMark
from inventory.ground.refusal import Refusal
from stockist.approvals.approval import rows
from stockist.approvals.said_forms import ClaimForm, CorrectForm, NewIssueForm, PeriodForm
from stockist.steps import by, doing, told

SAY = "fitments.add_approvalversion"
MOST = 200


@doing("fitments.add_approval")
def enter(request: HttpRequest) -> HttpResponse:
    """Record an approval, for one axle or for both."""
    form = ClaimForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = approvals.record_each(**form.values(), by=by(request), at=timezone.now())
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, f"Recorded: {', '.join(one.code for one in made)}.")
            return redirect("approvals:approval", made[0].pk)
    return _form(request, "Record an approval", "Record it", form)


@doing(SAY)
def correct(request: HttpRequest, number: int, version: int) -> HttpResponse:
    """Say something else instead of a version that is said now."""
    known = ApprovalVersion.objects.select_related("approval", "superseded_by")
    held = get_object_or_404(known.filter(approval=number), pk=version)
    form = CorrectForm(request.POST) if request.method == "POST" else CorrectForm.of(Said.of(held))
    if request.method == "POST" and form.is_valid():
        given: Any = {**form.said(), "why": form.cleaned_data["why"]}
        try:
            approvals.correct(version=held, by=by(request), at=timezone.now(), **given)
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Corrected: what was said before is kept below.")
            return redirect("approvals:approval", number)
    title = f"Correct what is said of {held.approval.code}"
    lead = f"It says {days_of(held)} now. What you keep here is a new version with your reason."
    return _form(request, title, "Keep it as a new version", form, lead)


@doing(SAY)
def period(request: HttpRequest, number: int) -> HttpResponse:
    """Say that an approval is, or was, in force at another time as well."""
    found = get_object_or_404(rows(), pk=number)
    form = PeriodForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        said, why = Said(**form.said()), form.cleaned_data["why"]
        try:
            approvals.add_period(
                approval=found, said=said, why=why, by=by(request), at=timezone.now()
            )
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Said of these days too.")
            return redirect("approvals:approval", number)
    return _form(request, f"Another time for {found.code}", "Keep it", form)


@doing(SAY)
def new_issue(request: HttpRequest) -> HttpResponse:
    """Let a new issue of a mark take the place of the old; first it shows what that changes."""
    form = NewIssueForm(request.POST or None)
    changes = None
    if request.method == "POST" and form.is_valid():
        why, papers = form.cleaned_data["why"], form.cleaned_data["evidence"]
        try:
            with_all: Any = {"asked": form.asked(), "evidence": papers, "why": why}
            done = issues.bring_in(**with_all, by=by(request), at=timezone.now())
        except Refusal as refusal:
            told(form, refusal)
        else:
            if "sure" in request.POST:
                words = f"{len(done.pairs)} superseded, {done.recorded} recorded in their place."
                messages.success(request, words)
                return redirect("approvals:register")
            changes = done  # shown, and taken back: an answer that is no redirect keeps nothing
    context = {
        "form": form,
        "changes": _told(changes.pairs) if changes else (),
        "marks": _marks(form) if changes else (),
    }
    return render(request, "approvals/new_issue.html", context, status=_status(form))


def _told(pairs: Any) -> list[dict[str, str]]:
    return [
        {"old": old.code, "new": new.code, "scope": scope_of(old), "axle": old.axle,
         "tyre": tyre_of(old)}
        for old, new in pairs[:MOST]
    ]  # fmt: skip


def _marks(form: NewIssueForm) -> list[IssuerMark]:
    """What the maker says of the mark, for old stock."""
    asked = form.cleaned_data
    return list(IssuerMark.objects.filter(car_maker=asked["car_maker"], mark__iexact=asked["mark"]))


def _form(request: HttpRequest, title: str, button: str, form: Any, lead: str = "") -> HttpResponse:
    context = {"title": title, "button": button, "form": form, "lead": lead}
    return render(request, "approvals/say.html", context, status=_status(form))


def _status(form: Any) -> int:
    return 400 if form.is_bound and form.errors else 200
