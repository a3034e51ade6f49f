"""Writes that are safe to repeat: the same key and body give the first answer, once done.

The key is inserted in the same transaction as what it stands for. A second request with the same
key waits on that row until the first has ended, and then either finds the answer or, if the first
was rolled back, is the first itself. Refusals roll back, are not kept, and are judged afresh.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable, Mapping
from datetime import datetime
from functools import wraps
from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import UploadedFile
from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from rest_framework.exceptions import NotAuthenticated
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.ground.models import IdempotencyKey
from inventory.ground.refusal import Refusal
from inventory.ground.retry import retried

HEADER = "Idempotency-Key"
REPLAYED = "Idempotency-Replayed"
FIELD = "idempotency_key"
_LONGEST_KEY = 64
_NOT_THE_BODY = frozenset({FIELD, "csrfmiddlewaretoken"})

_CLAIM = """
INSERT INTO ground_idempotencykey (actor_id, key, route, body, answer, location)
VALUES (%s, %s, %s, %s, '', '') ON CONFLICT (actor_id, key) DO NOTHING RETURNING id
"""


class NoKey(Refusal):
    """A write came without the key that makes it safe to repeat."""

    status = 400
    sentence = (
        f"Every write needs a key of its own, so that sending it twice does it once: "
        f"send the header {HEADER} with up to {_LONGEST_KEY} characters, such as a random UUID."
    )


class KeyWasUsed(Refusal):
    """The key stands for another request already."""

    status = 422
    sentence = (
        "This was already sent once with other contents, and that stands. "
        "Nothing was changed now: open the page afresh, or send it with a new key."
    )


class KeyedForm(forms.Form):
    """A form whose hidden key makes sending it twice harmless; for views under `once_form`."""

    idempotency_key = forms.CharField(
        widget=forms.HiddenInput, initial=lambda: str(uuid.uuid4()), max_length=_LONGEST_KEY
    )


def once(method: Callable[..., Response]) -> Callable[..., Response]:
    """Decorator for a writing method of an API view or viewset.

    Opens the transaction, takes the key from the header, calls the method, keeps its answer.
    An exception, and an answer of 400 and above, roll everything back.
    """

    @wraps(method)
    def answered(view: Any, request: Request, *args: Any, **kwargs: Any) -> Response:
        if not request.user.is_authenticated:
            raise NotAuthenticated
        asked = _Asked.of(request, request.headers.get(HEADER, ""), request.data, {})

        def attempt() -> Response:
            with transaction.atomic():
                first, row = asked.claim()
                if not first:
                    return _again(row)
                response = method(view, request, *args, **kwargs)
                if response.status_code >= 400:
                    transaction.set_rollback(True)
                    return response
                text = "" if response.data is None else JSONRenderer().render(response.data)
                location = response.headers.get("Location", "")
                _keep(row, response.status_code, text, location)
                return response

        return retried(attempt)

    # Read by the API's description of itself: this operation takes the header.
    answered.takes_key = True  # type: ignore[attr-defined]
    return answered


def once_form(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Decorator for a page that takes a form with a hidden key; reading it passes through.

    A redirect says that it was done, and is kept; any other answer rolls everything back.
    """

    @wraps(view)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if request.method in {"GET", "HEAD", "OPTIONS"}:
            return view(request, *args, **kwargs)
        if not request.user.is_authenticated:
            raise PermissionDenied
        asked = _Asked.of(request, request.POST.get(FIELD, ""), request.POST, request.FILES)

        def attempt() -> HttpResponse:
            with transaction.atomic():
                first, row = asked.claim()
                if not first:
                    messages.info(request, "This was already done; it was not done twice.")
                    return HttpResponseRedirect(row.location)
                response = view(request, *args, **kwargs)
                if not 300 <= response.status_code < 400:
                    transaction.set_rollback(True)
                    return response
                _keep(row, response.status_code, "", response.headers["Location"])
                return response

        return retried(attempt)

    return answered


def forget(*, before: datetime) -> int:
    """Forget the keys received before a moment, and tell how many they were."""
    return IdempotencyKey.objects.filter(received_at__lt=before).delete()[0]


class _Asked:
    """Who asked for what, under which key."""

    def __init__(self, actor: User, key: str, route: str, body: str) -> None:
        self.actor, self.key, self.route, self.body = actor, key, route, body

    @classmethod
    def of(
        cls, request: HttpRequest | Request, key: str, data: Any, files: Mapping[str, Any]
    ) -> _Asked:
        if not key or len(key) > _LONGEST_KEY or not key.isprintable():
            raise NoKey(field=FIELD)
        route = f"{request.method} {request.get_full_path()}"
        if len(route) > 400:
            route = route[:320] + " " + hashlib.sha256(route.encode()).hexdigest()
        return cls(request.user, key, route, digest(data, files))  # type: ignore[arg-type]

    def claim(self) -> tuple[bool, IdempotencyKey]:
        """Whether this is the first with its key, and the row; waits for one still under way.

        Raises `KeyWasUsed` if the first one said other things.
        """
        with connection.cursor() as cursor:
            cursor.execute(_CLAIM, [self.actor.pk, self.key, self.route, self.body])
            new = cursor.fetchone()
        row = IdempotencyKey.objects.get(actor=self.actor, key=self.key)
        if new is None and (row.route, row.body) != (self.route, self.body):
            raise KeyWasUsed(field=FIELD)
        return new is not None, row


def digest(data: Any, files: Mapping[str, Any]) -> str:
    """A digest of what was sent, whatever order and spacing it was sent in."""
    plain = {"data": _plain(data), "files": {name: _plain(file) for name, file in files.items()}}
    return hashlib.sha256(json.dumps(plain, sort_keys=True, default=str).encode()).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, UploadedFile):
        content = hashlib.sha256()
        for chunk in value.chunks():
            content.update(chunk)
        value.seek(0)
        return [value.name, content.hexdigest()]
    if hasattr(value, "lists"):  # a form's fields, each with every value it was sent with
        return {
            name: [_plain(each) for each in every]
            for name, every in value.lists()
            if name not in _NOT_THE_BODY
        }
    if isinstance(value, Mapping):
        return {str(name): _plain(each) for name, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    return value


def _keep(row: IdempotencyKey, status: int, answer: str | bytes, location: str) -> None:
    row.status = status
    row.answer = answer.decode() if isinstance(answer, bytes) else answer
    row.location = location
    row.save(update_fields=["status", "answer", "location"])


def _again(row: IdempotencyKey) -> Response:
    data = json.loads(row.answer) if row.answer else None
    headers = {REPLAYED: "true"} | ({"Location": row.location} if row.location else {})
    return Response(data, status=row.status, headers=headers)
