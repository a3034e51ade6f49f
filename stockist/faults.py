"""Pages for what went wrong outside any view; programs get problem details instead."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from inventory.ground.problems import MEDIA_TYPE, problem
from inventory.ground.refusal import Refusal

_API = "/api/"


def no_such_page(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404, from Django's `handler404`."""
    return _answer(
        request,
        HTTPStatus.NOT_FOUND,
        "There is no such page. It may have been deleted, or the address mistyped.",
    )


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403, from Django's `handler403`."""
    return _answer(
        request,
        HTTPStatus.FORBIDDEN,
        "Your role may not do this. Ask the owner if you think it should.",
    )


def form_expired(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403, from the CSRF middleware: the page was open for longer than the sign-in."""
    return _answer(
        request,
        HTTPStatus.FORBIDDEN,
        "This page was open for too long, or in another window you signed out and in again. "
        "Nothing was changed: open the page afresh and send it again.",
    )


def locked_out(
    request: HttpRequest, response: HttpResponse | None, credentials: Mapping[str, str]
) -> HttpResponse:
    """429, from the guard at the sign-in: too many wrong passwords."""
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds() // 60)
    return _answer(
        request,
        HTTPStatus.TOO_MANY_REQUESTS,
        f"Too many wrong passwords were tried for this name. Wait {minutes} minutes and try again, "
        "or ask the owner.",
    )


def broken(request: HttpRequest) -> HttpResponse:
    """500, from Django's `handler500`."""
    return _answer(
        request,
        HTTPStatus.INTERNAL_SERVER_ERROR,
        "Something in the shop's program is broken. Nothing was changed; the fault is in the log.",
    )


def refused(request: HttpRequest, refusal: Refusal) -> HttpResponse:
    """A refusal that no page shows by itself: a form without its key, or sent with other contents
    under a key that was used, or others booking the same things again and again."""
    return _answer(request, HTTPStatus(refusal.status), refusal.sentence)


def _answer(request: HttpRequest, status: HTTPStatus, sentence: str) -> HttpResponse:
    if request.path.startswith(_API):
        code = status.phrase.lower().replace(" ", "-")
        body = problem(status, sentence, code, [])
        return JsonResponse(body, status=status, content_type=MEDIA_TYPE)
    context = {"title": status.phrase, "sentence": sentence}
    return render(request, "stockist/fault.html", context, status=status)
