"""A step of a document that is there: its form, the domain call, its page again where refused."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.ground.idempotency import KeyedForm
from inventory.ground.refusal import Refusal
from stockist.steps import by, doing, told

Page = Callable[..., HttpResponse]


def words_of(form: forms.Form) -> str:
    """Everything that is wrong with a form, for the head of a page."""
    return " ".join(str(error) for errors in form.errors.values() for error in errors)


def step(
    *,
    permission: str,
    rows: Callable[[], QuerySet[Any]],
    called: str,
    form: type[KeyedForm],
    name: str,
    work: Callable[..., Any],
    page: Page,
    to: Callable[[Any], tuple[str, int]],
    done: str | Callable[[Any], str],
    values: Callable[[Any], dict[str, Any]] | None = None,
) -> Callable[[HttpRequest, int], HttpResponse]:
    """A view for one step. ``page(request, row, refused=, status=, bound=)`` shows the document."""

    @doing(permission)
    @require_POST
    def answered(request: HttpRequest, number: int) -> HttpResponse:
        row = get_object_or_404(rows(), pk=number)
        sent = form(request.POST, request.FILES)
        if not sent.is_valid():
            return page(request, row, refused=words_of(sent), status=400, bound={name: sent})
        try:
            given = values(sent) if values else plain(sent)
            made = work(**{called: row}, by=by(request), at=timezone.now(), **given)
        except Refusal as refusal:
            told(sent, refusal)
            words, status = refusal.sentence, refusal.status
            return page(request, row, refused=words, status=status, bound={name: sent})
        messages.success(request, done(made) if callable(done) else done)
        return redirect(*to(row))

    return answered


def plain(form: forms.Form) -> dict[str, Any]:
    """What a valid form says, without its key."""
    return {name: one for name, one in form.cleaned_data.items() if name != "idempotency_key"}
