"""Terms of suppliers and batches of their makers: listed, entered, and changed with care."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import Refusal, StaleVersion
from stockist.steps import by, focus, told

Work = Callable[..., Any]


def entered(
    request: HttpRequest, form: Any, work: Work, page: dict[str, Any], leads_to: str
) -> HttpResponse:
    """Enter a row by ``work`` and lead to it, or show the form with what is wrong."""
    if request.method == "POST" and form.is_valid():
        try:
            row = work(by=by(request), at=timezone.now(), **form.values())
        except Refusal as refusal:
            told(form, refusal)
        else:
            messages.success(request, "Kept.")
            return redirect(leads_to, row.pk)
    focus(form, "supplier")
    status = 400 if form.is_bound else 200
    return render(request, "purchasing/agree.html", {"form": form, **page}, status=status)


def changed(
    request: HttpRequest, row: Model, form: Any, work: Work, leads_to: str
) -> HttpResponse | tuple[Any, str, int]:
    """Change a row by ``work`` and lead to it; else the form, the sentence and the status.

    ``form`` is None where somebody else was first: the page shows what is there now.
    """
    if not form.is_valid():
        return form, "Not kept: see what is said below.", 400
    try:
        work(seen=form.cleaned_data["seen"], by=by(request), at=timezone.now(), **form.values())
    except StaleVersion as refusal:
        return None, refusal.sentence, refusal.status
    except Refusal as refusal:
        told(form, refusal)
        return form, "Not kept: see what is said below.", refusal.status
    messages.success(request, "Kept.")
    return redirect(leads_to, row.pk)


def latest(row: Any) -> dict[str, Any]:
    """The version of a row that is shown, and who made it when, where that is known."""
    version = row.history.select_related("history_user").order_by("-history_id").first()
    return {"version": version, "seen": version_of(row)}
