"""One approval: what is said of it, everything that ever was, what it rests on and what on it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from fitments.activities import approvals
from fitments.lookup.papers import known_papers
from fitments.lookup.register import days_of, scope_of, standing_of, tyre_of, worth
from fitments.lookup.speaking import silent_about
from fitments.models.approval import Approval, ApprovalVersion
from stockist.approvals.forms import SupersedeForm, WithdrawForm
from stockist.approvals.register import SIGNS
from stockist.approvals.touched import touched_by
from stockist.selling.steps import step
from stockist.steps import looking

WRITE = "fitments.add_approvalversion"


def rows() -> QuerySet[Approval]:
    """Approvals with what they are called by."""
    return Approval.objects.select_related(
        *("car_maker", "vehicle_line__maker", "competition_class__organiser"),
        *("pattern__maker", "compound"),
    )


@looking("fitments.view_approval")
@require_GET
def approval(request: HttpRequest, number: int) -> HttpResponse:
    """One approval."""
    return page(request, get_object_or_404(rows(), pk=number))


def page(
    request: HttpRequest,
    found: Approval,
    *,
    refused: str = "",
    status: int = 200,
    bound: dict[str, Any] | None = None,
) -> HttpResponse:
    """The page of an approval."""
    at = timezone.now()
    versions = _versions(found, at)
    now = [one for one in versions if one["now"]]
    context = {
        "approval": found,
        "scope": scope_of(found),
        "tyre": tyre_of(found),
        "now": now,
        "before": [one for one in versions if not one["now"]],
        "touched": touched_by(found, at=at),
        "may_write": request.user.has_perm(WRITE),
        "may_see_promises": request.user.has_perm("inventory.view_hold"),
        "withdraw": WithdrawForm(),
        "supersede": SupersedeForm(),
        "refused": refused,
        **(bound or {}),
    }
    return render(request, "approvals/approval.html", context, status=status)


def _versions(found: Approval, at: datetime) -> list[dict[str, Any]]:
    """Everything that was ever said, the newest first."""
    papers = Prefetch("evidence", known_papers(at), to_attr="papers")
    rows = ApprovalVersion.objects.filter(approval=found).prefetch_related(papers)
    told = rows.select_related("approval", "superseded_by", "recorded_by").order_by("-pk")
    return [_told(found, one, at) for one in told]


def _told(found: Approval, version: Any, at: datetime) -> dict[str, Any]:
    words, sign, tone = standing_of(version, on=timezone.localdate(at))
    basis = worth(version, known_on=None, at=at)
    return {
        "version": version,
        "now": version.known.upper is None,
        "days": days_of(version),
        "stands": {"words": words, "sign": sign, "tone": tone},
        "basis": {"words": basis.words, "sign": SIGNS[basis][0], "tone": SIGNS[basis][1]},
        "papers": [
            {"paper": paper, "silent": silent_about(paper, found)} for paper in version.papers
        ],
    }


def _step(name: str, form: Any, work: Any, done: str) -> Any:
    return step(
        permission=WRITE, rows=rows, called="approval", form=form, name=name, work=work, page=page,
        to=lambda row: ("approvals:approval", row.pk), done=done,
    )  # fmt: skip


withdraw = _step(
    "withdraw", WithdrawForm, approvals.withdraw,
    "Withdrawn: nothing more is promised on it. What it touches is listed below.",
)  # fmt: skip
supersede = _step(
    "supersede", SupersedeForm, approvals.supersede,
    "Superseded: old stock may still be sold, and is told apart.",
)  # fmt: skip
