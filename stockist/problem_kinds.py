"""What the `code` of a problem means: the address that its `type` leads to."""

from __future__ import annotations

from collections.abc import Iterator

from django.http import Http404
from drf_spectacular.utils import extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inventory.ground.refusal import Refusal

# Those that the framework tells by itself.
COMMON = {
    "invalid": "What was sent cannot be used; `errors` says where and why.",
    "parse-error": "What was sent cannot be read at all.",
    "not-authenticated": "Nobody is signed in.",
    "authentication-failed": "The token, or the name and password, open nothing.",
    "permission-denied": "The role of whoever is signed in may not do this.",
    "not-found": "There is no such thing, or no such address.",
    "method-not-allowed": "This address does not take this method.",
    "not-acceptable": "The answer cannot be had in the form that was asked for.",
    "unsupported-media-type": "What was sent is in a form that is not taken here.",
    "throttled": "There were too many requests; `Retry-After` says for how long to wait.",
}


class ProblemView(APIView):
    """What the `code` of a problem means."""

    permission_classes = (AllowAny,)

    @extend_schema(
        responses=inline_serializer(
            "ProblemKind", {"code": serializers.CharField(), "meaning": serializers.CharField()}
        )
    )
    def get(self, request: Request, code: str) -> Response:
        meaning = COMMON.get(code) or next(
            (" ".join((kind.__doc__ or kind.sentence).split()) for kind in _kinds(Refusal)
             if kind.code == code), None,
        )  # fmt: skip
        if meaning is None:
            raise Http404
        return Response({"code": code, "meaning": meaning})


def _kinds(kind: type[Refusal]) -> Iterator[type[Refusal]]:
    yield kind
    for below in kind.__subclasses__():
        yield from _kinds(below)
