"""Approvals that are to be looked at again, over the API."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from fitments.lookup.reviews import HORIZON_DAYS, reviews_due
from inventory.ground.rest.filtering import refuse_unknown
from inventory.ground.rest.serializers import Strict, given
from stockist.approvals.api import MaySee

ON_A_PAGE = 100


class ReviewsAskedSerializer(Strict):
    """How many days ahead, and which page of a hundred."""

    days = serializers.IntegerField(min_value=0, max_value=3660, default=HORIZON_DAYS)
    page = serializers.IntegerField(min_value=1, max_value=100_000, default=1)


class ReviewSerializer(serializers.Serializer[Any]):
    """One approval, the first day that calls for another look, and every reason."""

    approval_id = serializers.IntegerField()
    code = serializers.CharField()
    scope = serializers.CharField()
    tyre = serializers.CharField()
    due_on = serializers.DateField()
    reasons = serializers.ListField(child=serializers.CharField())


class ReviewsSerializer(serializers.Serializer[Any]):
    """A page of them; `next` is the number of the next page, null on the last."""

    count = serializers.IntegerField()
    next = serializers.IntegerField(allow_null=True)
    results = ReviewSerializer(many=True)


class ReviewsView(APIView):
    """Approvals in force whose evidence is due for another look, or whose days come to an end."""

    permission_classes = (MaySee,)

    @extend_schema(
        operation_id="approval_reviews",
        parameters=[ReviewsAskedSerializer],
        responses=ReviewsSerializer,
    )
    def get(self, request: Request) -> Response:
        """The longest due first, a hundred a page."""
        refuse_unknown(request, set(ReviewsAskedSerializer().fields))
        said = given(ReviewsAskedSerializer(data=request.query_params.dict()))
        found = reviews_due(on=timezone.localdate(), days=said["days"])
        end = said["page"] * ON_A_PAGE
        rows = found[end - ON_A_PAGE : end]
        more = said["page"] + 1 if len(found) > end else None
        told = {"count": len(found), "next": more, "results": rows}
        return Response(ReviewsSerializer(told).data)
