"""What is missing, and what an approval touches, over the API."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.shortcuts import get_object_or_404
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from fitments.lookup.coverage import Gap
from fitments.models.approval import Approval
from inventory.ground.rest.filtering import refuse_unknown
from stockist.approvals.gaps import gaps
from stockist.approvals.touched import touched_by

ON_A_PAGE = 100


class MaySee(BasePermission):
    """Signed in, and allowed to see approvals and stock; holds and orders by their own right."""

    message = "The register is for roles that may see approvals."
    needs: ClassVar = ["fitments.view_approval", "inventory.view_sku"]

    def has_permission(self, request: Request, view: Any) -> bool:
        return bool(request.user and request.user.has_perms(self.needs))


class MissingSerializer(serializers.Serializer[Any]):
    """One gap."""

    gap = serializers.ChoiceField(choices=[(gap.value, gap.words) for gap in Gap])
    code = serializers.CharField()
    name = serializers.CharField()
    words = serializers.CharField()


class MissingPageSerializer(serializers.Serializer[Any]):
    """A page of gaps; `next` is the number of the next page, null on the last."""

    count = serializers.IntegerField()
    next = serializers.IntegerField(allow_null=True)
    results = MissingSerializer(many=True)


class MissingForm(forms.Form):
    gap = forms.ChoiceField(choices=[("", "any"), *((g.value, g.words) for g in Gap)],
                            required=False)  # fmt: skip
    page = forms.IntegerField(min_value=1, max_value=100_000, required=False)


class MissingView(APIView):
    """What the register does not cover."""

    permission_classes = (MaySee,)

    @extend_schema(
        operation_id="missing",
        parameters=[
            OpenApiParameter("gap", str, enum=[gap.value for gap in Gap]),
            OpenApiParameter("page", int),
        ],
        responses=MissingPageSerializer,
    )
    def get(self, request: Request) -> Response:
        """In a stated order, a hundred a page."""
        refuse_unknown(request, {"gap", "page"})
        form = MissingForm(request.query_params)
        if not form.is_valid():
            wrong = {name: [str(one) for one in errors] for name, errors in form.errors.items()}
            raise ValidationError(wrong)
        wanted, page = form.cleaned_data["gap"], form.cleaned_data["page"] or 1
        found = [one for one in gaps(at=timezone.now()) if not wanted or one.gap.value == wanted]
        rows = found[(page - 1) * ON_A_PAGE : page * ON_A_PAGE]
        more = page + 1 if len(found) > page * ON_A_PAGE else None
        told = {"count": len(found), "next": more, "results": rows}
        return Response(MissingPageSerializer(told).data)


class TouchedStockSerializer(serializers.Serializer[Any]):
    """A SKU with its figures."""

    sku = serializers.CharField()
    in_the_racks = serializers.IntegerField()
    spoken_for = serializers.IntegerField()
    to_sell = serializers.IntegerField()


class TouchedSerializer(serializers.Serializer[Any]):
    """What rests on an approval; null where the role may not see it."""

    stock = TouchedStockSerializer(many=True)
    holds = serializers.ListField(child=serializers.CharField(), allow_null=True)
    orders = serializers.ListField(child=serializers.CharField(), allow_null=True)


class TouchedView(APIView):
    """What rests on an approval now: stock, holds, open orders."""

    permission_classes = (MaySee,)

    @extend_schema(operation_id="touched_by_approval", responses=TouchedSerializer)
    def get(self, request: Request, number: int) -> Response:
        """Numbers of holds and orders, not whose they are."""
        found = touched_by(get_object_or_404(Approval, pk=number), at=timezone.now())
        sees = request.user.has_perm
        told = {
            "stock": [
                {"sku": sku.code, "in_the_racks": figures.in_the_racks,
                 "spoken_for": figures.spoken_for, "to_sell": figures.to_sell}
                for sku, figures in found.stock
            ],
            "holds": _numbers(found.holds) if sees("inventory.view_hold") else None,
            "orders": _numbers(line.order for line in found.lines)
            if sees("inventory.view_order")
            else None,
        }  # fmt: skip
        return Response(TouchedSerializer(told).data)


def _numbers(rows: Any) -> list[str]:
    return list(dict.fromkeys(one.number for one in rows))
