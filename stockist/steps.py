"""Pages that do one thing and lead on: the domain call, its refusal on the page, its sentence."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from functools import wraps
from typing import Any

from django import forms
from django.contrib.auth.decorators import login_required, permission_required
from django.http import HttpRequest, HttpResponse

from inventory.ground.idempotency import once_form
from inventory.ground.refusal import Refusal
from stockist.faults import refused

View = Callable[..., HttpResponse]


def looking(permission: str) -> Callable[[View], View]:
    """Decorator: signed in, with this permission; for pages that only show."""

    def decorated(view: View) -> View:
        return login_required(permission_required(permission, raise_exception=True)(view))

    return decorated


def doing(permission: str) -> Callable[[View], View]:
    """Decorator: the same for pages that take a form; sending it twice does it once."""

    def decorated(view: View) -> View:
        inner = permission_required(permission, raise_exception=True)(_told(once_form(view)))
        return login_required(inner)

    return decorated


def _told(view: View) -> View:
    """What is refused before or after the view itself is told on a page of its own."""

    @wraps(view)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except Refusal as refusal:
            return refused(request, refusal)

    return answered


def told(form: forms.Form, refusal: Refusal) -> None:
    """Put a refusal on the form: beside the fields at fault, where the form shows them."""
    for name, words in refusal.at_fault or [("", refusal.sentence)]:
        shown = name in form.fields and not form.fields[name].widget.is_hidden
        form.add_error(name if shown else None, words)


def focus(form: forms.Form, first: str) -> None:
    """Let the page open with the first field at fault in focus, else with this one."""
    name = next((name for name in form.fields if name in form.errors), first)
    form.fields[name].widget.attrs["autofocus"] = True


def fresh_key() -> str:
    """A key for a form that is written by hand on a page."""
    return str(uuid.uuid4())


def by(request: HttpRequest) -> Any:
    """Whoever is signed in, as activities take them."""
    return request.user
