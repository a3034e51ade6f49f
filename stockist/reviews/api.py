"""Approvals that are to be looked at again, over the API."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from fitments.lookup.reviews import HORIZON_DAYS, Review, reviews_due
from inventory.ground.paging import CursorPages
from inventory.ground.rest.filtering import refuse_unknown
from inventory.ground.rest.serializers import Strict, given
from stockist.approvals.api import MaySee
from stockist.approvals.cursors import page_of


class ReviewsAskedSerializer(Strict):
    """How many days ahead, and in which order."""

    days = serializers.IntegerField(min_value=0, max_value=3660, default=HORIZON_DAYS)
    ordering = serializers.ChoiceField(
        choices=["due_on", "-due_on", "code", "-code"], required=False
    )


class ReviewSerializer(serializers.Serializer[Any]):
    """One approval, the first day that calls for another look, and every reason."""

    approval_id = serializers.IntegerField()
    code = serializers.CharField()
    scope = serializers.CharField()
    tyre = serializers.CharField()
    due_on = serializers.DateField()
    reasons = serializers.ListField(child=serializers.CharField())


class ReviewsSerializer(serializers.Serializer[Any]):
    """A page of them; `next` and `previous` are addresses, null at either end."""

    next = serializers.URLField(allow_null=True)
    previous = serializers.URLField(allow_null=True)
    results = ReviewSerializer(many=True)


def _by_day(one: Review) -> tuple[str, ...]:
    return (one.due_on.isoformat(), one.code)


def _by_code(one: Review) -> tuple[str, ...]:
    return (one.code,)


ORDERS = {"due_on": _by_day, "code": _by_code}


class ReviewsView(APIView):
    """Approvals in force whose evidence is due for another look, or whose days come to an end."""

    permission_classes = (MaySee,)

    @extend_schema(
        operation_id="approval_reviews",
        parameters=[
            ReviewsAskedSerializer,
            OpenApiParameter("cursor", str, description=CursorPages.cursor_query_description),
            OpenApiParameter("page_size", int, description="Rows on a page, 1 to 100"),
        ],
        responses=ReviewsSerializer,
    )
    def get(self, request: Request) -> Response:
        """The longest due first unless told, a page at a time."""
        own = set(ReviewsAskedSerializer().fields)
        refuse_unknown(request, own | {"cursor", "page_size"})
        asked = {name: value for name, value in request.query_params.items() if name in own}
        said = given(ReviewsAskedSerializer(data=asked))
        order = said.get("ordering", "due_on")
        page = page_of(
            reviews_due(on=timezone.localdate(), days=said["days"]),
            ORDERS[order.removeprefix("-")],
            request,
            backwards=order.startswith("-"),
        )
        return Response(ReviewsSerializer(page).data)
