"""Pages of what runs in the background: which jobs there are, how far, and what to do about one."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import datetime
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import login_required, permission_required
from django.contrib.auth.models import User
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from inventory.ground.idempotency import once_form
from inventory.ground.jobs import asking, wake
from inventory.ground.jobs.model import Job
from inventory.ground.refusal import Refusal
from stockist.jobs.forms import JobsForm
from stockist.jobs.rows import job_row

ON_A_PAGE = 25
ROWS_ON_A_PAGE = 100

looking = permission_required("ground.view_job", raise_exception=True)
acting = permission_required("ground.change_job", raise_exception=True)


@login_required
@looking
@never_cache
@require_GET
def jobs(request: HttpRequest) -> HttpResponse:
    """Which jobs there are and how far each is, newest first."""
    wake.nudge()
    form = JobsForm(request.GET or None)
    found = list(form.jobs()[: ON_A_PAGE + 1])
    rows = [job_row(job) for job in found[:ON_A_PAGE]]
    more = ""
    if len(found) > ON_A_PAGE:
        asked = {name: request.GET[name] for name in ("state", "kind") if request.GET.get(name)}
        more = f"?{urlencode({**asked, 'before': rows[-1].job.pk})}"
    context = {
        "rows": rows,
        "form": form,
        "more": more,
        "moves": _moves(request, any(row.is_under_way for row in rows)),
        **_here(request),
    }
    return render(request, "jobs/list.html", context)


@login_required
@looking
@never_cache
@require_GET
def job(request: HttpRequest, number: int) -> HttpResponse:
    """One job: how far it is, what went wrong with which row."""
    wake.nudge()
    return _page(request, number)


def _page(
    request: HttpRequest, number: int, *, refused: str = "", status: int = 200
) -> HttpResponse:
    found = Job.objects.select_related("asked_by", "cancelled_by").filter(pk=number).first()
    if found is None:
        raise Http404
    row = job_row(found)
    failures = Paginator(found.row_failures.order_by("row", "pk"), ROWS_ON_A_PAGE)
    context = {
        "row": row,
        "failures": failures.get_page(request.GET.get("page")),
        "refused": refused,
        "key": uuid.uuid4(),
        "may_act": request.user.has_perm("ground.change_job"),
        "moves": _moves(request, row.is_under_way),
        **_here(request),
    }
    return render(request, "jobs/job.html", context, status=status)


def _moves(request: HttpRequest, under_way: bool) -> bool:
    """Whether the page looks again by itself: while something is under way, unless told not to."""
    return under_way and "still" not in request.GET


def _here(request: HttpRequest) -> dict[str, str]:
    """This page, the same held still, and the same moving again."""
    asked = request.GET.copy()
    asked.pop("still", None)
    moving = f"{request.path}?{asked.urlencode()}".rstrip("?")
    asked["still"] = "1"
    return {
        "here": request.get_full_path(),
        "moving": moving,
        "still": f"{request.path}?{asked.urlencode()}",
    }


Act = Callable[[int, User, datetime], Job]


def _acting(act: Act, told: str) -> Callable[[HttpRequest, int], HttpResponse]:
    @login_required
    @acting
    @require_POST
    @once_form
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        assert isinstance(request.user, User)  # noqa: S101 - signed in, as the decorator asks
        try:
            found = act(number, request.user, timezone.now())
        except Job.DoesNotExist:
            raise Http404 from None
        except Refusal as refusal:
            return _page(request, number, refused=refusal.sentence, status=refusal.status)
        messages.success(request, told)
        return redirect("jobs:job", found.pk)

    return answered


cancel = _acting(
    lambda number, by, at: asking.cancel(job_id=number, by=by, at=at),
    "Cancelled. What it was doing just then is undone; what was done before stays.",
)
resume = _acting(
    lambda number, by, at: asking.resume(job_id=number, by=by, at=at),
    "It goes on where it stopped.",
)
again = _acting(
    lambda number, by, at: asking.run_again(job_id=number, by=by, at=at),
    "It is run again; this is the new one.",
)
