"""Tokens by which programs sign in to the API: one's own, made, listed and taken back."""

from __future__ import annotations

from typing import Any

from django.http import Http404
from django.utils import timezone
from drf_spectacular.utils import OpenApiExample, extend_schema, inline_serializer
from knox.auth import TokenAuthentication
from knox.models import AuthToken
from knox.settings import knox_settings
from rest_framework import serializers
from rest_framework.authentication import BasicAuthentication, SessionAuthentication
from rest_framework.permissions import IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import BaseThrottle, UserRateThrottle
from rest_framework.views import APIView

from inventory.ground.refusal import Refusal


class TokenMakesNoToken(Refusal):
    """Whoever found a token could otherwise keep themselves in for ever."""

    status = 403
    sentence = (
        "A token cannot make another one: send your name and password (HTTP Basic), or be signed "
        "in on the pages."
    )


class TooManyTokens(Refusal):
    """A person has as many tokens as anybody may have."""

    def __init__(self, most: int) -> None:
        super().__init__(f"You have {most} tokens, and that is the most: take one back first.")


class SomeTokens(UserRateThrottle):
    """Few are needed, so few may be asked for."""

    scope = "tokens"
    rate = "20/hour"


class TokenSerializer(serializers.Serializer[Any]):
    """A token as it is listed: by its first signs, never the whole of it."""

    key = serializers.CharField(source="token_key", help_text="Its first signs")
    created = serializers.DateTimeField()
    expiry = serializers.DateTimeField()


NEW = inline_serializer(
    "NewToken",
    {
        "token": serializers.CharField(help_text="The whole token; it is told this once"),
        "key": serializers.CharField(help_text="Its first signs, by which it is listed"),
        "expiry": serializers.DateTimeField(),
    },
)
EXAMPLE = OpenApiExample(
    "made",
    {"token": "a1b2c3d4e5f6a7b8…", "key": "a1b2c3d4e5f6a7b", "expiry": "2027-02-21T10:00:00Z"},
    response_only=True,
)


class Own(APIView):
    """Only ever about one's own tokens."""

    authentication_classes = (TokenAuthentication, BasicAuthentication, SessionAuthentication)
    permission_classes = (IsAuthenticated,)

    def tokens(self) -> Any:
        """One's own tokens that still open something."""
        mine = AuthToken.objects.filter(user=self.request.user, expiry__gt=timezone.now())
        return mine.order_by("created", "digest")


class Tokens(Own):
    """The tokens of whoever asks."""

    def get_throttles(self) -> list[BaseThrottle]:
        more = [SomeTokens()] if self.request and self.request.method == "POST" else []
        return [*super().get_throttles(), *more]

    @extend_schema(operation_id="tokens_list", responses=TokenSerializer(many=True))
    def get(self, request: Request) -> Response:
        """Every token that still opens something, oldest first; there are never many."""
        return Response(TokenSerializer(self.tokens(), many=True).data)

    @extend_schema(request=None, responses={201: NEW}, examples=[EXAMPLE])
    def post(self, request: Request) -> Response:
        """Make a token, for a name and password. Sent twice, it makes two: no secret is kept."""
        if isinstance(request.auth, AuthToken):
            raise TokenMakesNoToken
        most = knox_settings.TOKEN_LIMIT_PER_USER
        if self.tokens().count() >= most:
            raise TooManyTokens(most)
        row, token = AuthToken.objects.create(user=request.user)
        told = {"token": token, "key": row.token_key, "expiry": row.expiry}
        return Response(told, status=201, headers={"Cache-Control": "no-store"})

    @extend_schema(operation_id="tokens_destroy_all", request=None, responses={204: None})
    def delete(self, request: Request) -> Response:
        """Take all of them back."""
        self.tokens().delete()
        return Response(status=204)


class OneToken(Own):
    """One of the tokens of whoever asks."""

    @extend_schema(request=None, responses={204: None})
    def delete(self, request: Request, key: str) -> Response:
        """Take it back: it opens nothing from now on."""
        if not self.tokens().filter(token_key=key).delete()[0]:
            raise Http404
        return Response(status=204)
