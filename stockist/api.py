"""The REST API, version 1: one router, its own description, tokens, and what problems mean."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.http import Http404
from django.urls import include, path
from drf_spectacular.utils import extend_schema, inline_serializer
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView
from knox.views import LoginView, LogoutAllView, LogoutView
from rest_framework import serializers
from rest_framework.authentication import BasicAuthentication, SessionAuthentication
from rest_framework.permissions import AllowAny, IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.routers import DefaultRouter
from rest_framework.views import APIView

from fitments.api import urls as cars
from inventory.api import urls as stock
from inventory.ground.refusal import Refusal
from stockist.jobs import api as jobs

router = DefaultRouter()
stock.register(router)
cars.register(router)
jobs.register(router)


class TokenView(LoginView):
    """A token for programs, for a name and password (HTTP Basic); shown once, kept as a digest."""

    authentication_classes = (BasicAuthentication, SessionAuthentication)
    permission_classes = (IsAuthenticated,)

    @extend_schema(
        request=None,
        responses=inline_serializer(
            "Token",
            {"token": serializers.CharField(), "expiry": serializers.DateTimeField()},
        ),
    )
    def post(self, request: Request, format: str | None = None) -> Response:
        answer: Response = super().post(request, format)
        return answer


class ForgetTokenView(LogoutView):
    """The token this is sent with is worth nothing from now on."""

    permission_classes = (IsAuthenticated,)

    @extend_schema(request=None, responses={204: None})
    def post(self, request: Request, format: str | None = None) -> Response:
        answer: Response = super().post(request, format)
        return answer


class ForgetAllTokensView(LogoutAllView):
    """Every token of this person is worth nothing from now on."""

    permission_classes = (IsAuthenticated,)

    @extend_schema(request=None, responses={204: None})
    def post(self, request: Request, format: str | None = None) -> Response:
        answer: Response = super().post(request, format)
        return answer


class ProblemView(APIView):
    """What the `code` of a problem means."""

    permission_classes = (AllowAny,)

    @extend_schema(
        responses=inline_serializer(
            "ProblemKind", {"code": serializers.CharField(), "meaning": serializers.CharField()}
        )
    )
    def get(self, request: Request, code: str) -> Response:
        for kind in _kinds(Refusal):
            if kind.code == code:
                meaning = " ".join((kind.__doc__ or kind.sentence).split())
                return Response({"code": code, "meaning": meaning})
        raise Http404


def _kinds(kind: type[Refusal]) -> Iterator[type[Refusal]]:
    yield kind
    for below in kind.__subclasses__():
        yield from _kinds(below)


schema: Any = SpectacularAPIView.as_view(permission_classes=(IsAuthenticated,))
pages: Any = SpectacularSwaggerSplitView.as_view(
    url_name="api:schema", permission_classes=(IsAuthenticated,)
)

app_name = "api"
urlpatterns = [
    path("", include(router.urls)),
    path("", include(stock.urlpatterns)),
    path("", include("stockist.counter.api_urls")),
    path("schema/", schema, name="schema"),
    path("docs/", pages, name="docs"),
    path("tokens/", TokenView.as_view(), name="token"),
    path("tokens/forget/", ForgetTokenView.as_view(), name="forget-token"),
    path("tokens/forget-all/", ForgetAllTokensView.as_view(), name="forget-all-tokens"),
    path("problems/<slug:code>/", ProblemView.as_view(), name="problem"),
]
