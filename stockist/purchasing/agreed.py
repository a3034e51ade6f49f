"""Terms of suppliers and batches of their makers: listed, entered, and changed with care."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from inventory.ground.entries.writing import version_of
from inventory.ground.refusal import Refusal, StaleVersion
from stockist.steps import by, focus, told

Work = Callable[..., Any]
Page = Callable[[Any, str, int], HttpResponse]
BELOW = "Not kept: see what is said below."


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


def changed(request: HttpRequest, form: Any, work: Work, leads_to: str, page: Page) -> HttpResponse:
    """Change a row by ``work`` and lead to it, or show its page with what is wrong.

    ``page`` is given the form (None where somebody else was first: it shows what is there now),
    the sentence and the status.
    """
    if not form.is_valid():
        return page(form, BELOW, 400)
    said = {**form.values(), "seen": form.cleaned_data["seen"]}
    try:
        row = work(by=by(request), at=timezone.now(), **said)
    except StaleVersion as refusal:
        return page(None, refusal.sentence, refusal.status)
    except Refusal as refusal:
        told(form, refusal)
        return page(form, BELOW, refusal.status)
    messages.success(request, "Kept.")
    return redirect(leads_to, row.pk)


def latest(row: Any) -> dict[str, Any]:
    """The version of a row that is shown, and who made it when, where that is known."""
    version = row.history.select_related("history_user").order_by("-history_id").first()
    return {"version": version, "seen": version_of(row)}
