"""What the API answers when something was not done: problem details (RFC 9457).

One shape for everything: `type`, `title`, `status`, `detail` as the RFC has them, `code` for
programs, and `errors`, one for each input at fault, with a JSON pointer (RFC 6901) to it.
"""

from __future__ import annotations

from collections.abc import Iterator
from http import HTTPStatus
from typing import Any

from django.core.exceptions import ValidationError
from django.db import DataError, IntegrityError, InterfaceError, OperationalError
from django.db.models import ProtectedError, RestrictedError
from rest_framework import exceptions, serializers
from rest_framework.response import Response
from rest_framework.views import exception_handler

from inventory.ground.refusal import Busy, Refusal
from inventory.ground.retry import is_passing
from inventory.ground.violations import violation

MEDIA_TYPE = "application/problem+json"
# Under these names Django and DRF keep what is wrong with the whole.
_WHOLE = frozenset({"non_field_errors", "__all__"})
TYPES = "/api/v1/problems/{code}/"


class NoDatabase(Refusal):
    """The database does not answer."""

    status = 503
    sentence = "The database does not answer just now. Nothing was changed: please send it again."


class ErrorSerializer(serializers.Serializer[Any]):
    """One input at fault."""

    pointer = serializers.CharField(help_text="Where in what was sent (RFC 6901), e.g. /lines/0")
    detail = serializers.CharField(help_text="What is wrong with it, in words")
    code = serializers.CharField()


class ProblemSerializer(serializers.Serializer[Any]):
    """Why it was not done (RFC 9457)."""

    type = serializers.CharField(help_text="An address that explains this kind of problem")
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField(help_text="What is wrong and what to do, in words")
    code = serializers.CharField(help_text="The kind of problem, for programs")
    # DRF takes a declared field out of the class, so that `errors` of a serializer stays its own.
    errors = ErrorSerializer(many=True, required=False)  # type: ignore[assignment]


def answer_problem(error: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler; None leaves what nobody anticipated to Django's own page for 500."""
    refusal = _as_refusal(error)
    if refusal is not None:
        errors = [_error(_path(name), words, refusal.code) for name, words in refusal.at_fault]
        response = Response(problem(refusal.status, refusal.sentence, refusal.code, errors))
        response.status_code = refusal.status
        if refusal.status == HTTPStatus.SERVICE_UNAVAILABLE:
            response["Retry-After"] = "1"
    else:
        if isinstance(error, ValidationError):
            error = exceptions.ValidationError(serializers.as_serializer_error(error))
        found = exception_handler(error, context)
        if found is None:
            return None
        response = found
        response.data = _told(response)
    response.content_type = MEDIA_TYPE
    return response


def problem(status: int, detail: str, code: str, errors: list[dict[str, str]]) -> dict[str, Any]:
    """The body of a problem."""
    body: dict[str, Any] = {
        "type": TYPES.format(code=code),
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "code": code,
    }
    return body | ({"errors": errors} if errors else {})


def _as_refusal(error: Exception) -> Refusal | None:
    if isinstance(error, Refusal):
        return error
    if isinstance(error, (ProtectedError, RestrictedError, IntegrityError)):
        return violation(error)
    if isinstance(error, DataError):
        found = violation(error)
        found.status = HTTPStatus.BAD_REQUEST  # type: ignore[misc]
        return found
    if isinstance(error, (OperationalError, InterfaceError)):
        return Busy() if is_passing(error) else NoDatabase()
    return None


def _told(response: Response) -> dict[str, Any]:
    """What DRF answered, retold as a problem."""
    data = response.data
    if response.status_code == HTTPStatus.BAD_REQUEST and not _is_single(data):
        errors = list(_errors(data, []))
        detail = " ".join(dict.fromkeys(each["detail"] for each in errors))
        return problem(response.status_code, detail, "invalid", errors)
    detail = data["detail"] if _is_single(data) else str(data)
    code = getattr(detail, "code", "error").replace("_", "-")
    return problem(response.status_code, str(detail), code, [])


def _is_single(data: Any) -> bool:
    return isinstance(data, dict) and set(data) == {"detail"} and isinstance(data["detail"], str)


def _errors(data: Any, path: list[str]) -> Iterator[dict[str, str]]:
    if isinstance(data, dict):
        for name, inner in data.items():
            yield from _errors(inner, path if name in _WHOLE else [*path, str(name)])
    elif isinstance(data, list):
        for place, inner in enumerate(data):
            # A list of words is about one input; a list of more is about its rows.
            yield from _errors(inner, path if isinstance(inner, str) else [*path, str(place)])
    else:
        yield _error(path, str(data), getattr(data, "code", "invalid"))


def _path(name: str) -> list[str]:
    """The steps of a field's name: `front.rim_text` is a field within a field."""
    return name.split(".") if name else []


def _error(path: list[str], detail: str, code: str) -> dict[str, str]:
    steps = (str(step).replace("~", "~0").replace("/", "~1") for step in path)
    pointer = "".join(f"/{step}" for step in steps)
    return {"pointer": pointer, "detail": detail, "code": code.replace("_", "-")}
