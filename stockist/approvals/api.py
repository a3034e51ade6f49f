"""What is missing, and what an approval touches, over the API."""

from __future__ import annotations

from collections.abc import Sequence
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

from fitments.lookup.coverage import Gap, Missing
from fitments.models.approval import Approval
from inventory.ground.paging import CursorPages
from inventory.ground.rest.filtering import refuse_unknown
from stockist.approvals.cursors import page_of
from stockist.approvals.gaps import gaps
from stockist.approvals.touched import touched_by


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
    """A page of gaps; `next` and `previous` are addresses, null at either end."""

    next = serializers.URLField(allow_null=True)
    previous = serializers.URLField(allow_null=True)
    results = MissingSerializer(many=True)


def _by_kind(one: Missing) -> tuple[str, ...]:
    return (str(list(Gap).index(one.gap)), one.code)


def _by_code(one: Missing) -> tuple[str, ...]:
    return (one.code, str(list(Gap).index(one.gap)))


ORDERS = {"gap": _by_kind, "code": _by_code}
ORDERINGS = [f"{sign}{name}" for name in ORDERS for sign in ("", "-")]


class MissingForm(forms.Form):
    """Which gaps, in which order."""

    gap = forms.ChoiceField(choices=[("", "any"), *((g.value, g.words) for g in Gap)],
                            required=False)  # fmt: skip
    code = forms.CharField(max_length=60, required=False)
    q = forms.CharField(max_length=80, required=False)
    ordering = forms.ChoiceField(choices=[(one, one) for one in ("", *ORDERINGS)], required=False)

    def chosen(self, found: Sequence[Missing]) -> list[Missing]:
        """Those that were asked for."""
        said = self.cleaned_data
        words = said["q"].casefold().split()
        return [
            one
            for one in found
            if said["gap"] in ("", one.gap.value)
            and said["code"].casefold() in ("", one.code.casefold())
            and all(word in f"{one.code} {one.name}".casefold() for word in words)
        ]


class MissingView(APIView):
    """What the register does not cover."""

    permission_classes = (MaySee,)

    @extend_schema(
        operation_id="missing",
        parameters=[
            OpenApiParameter("gap", str, enum=[gap.value for gap in Gap]),
            OpenApiParameter("code", str, description="Of one car, approval or document"),
            OpenApiParameter("q", str, description="Words of the code or the name"),
            OpenApiParameter("ordering", str, enum=ORDERINGS, default="gap"),
            OpenApiParameter("cursor", str, description=CursorPages.cursor_query_description),
            OpenApiParameter("page_size", int, description="Rows on a page, 1 to 100"),
        ],
        responses=MissingPageSerializer,
    )
    def get(self, request: Request) -> Response:
        """By kind and code unless told, a page at a time."""
        refuse_unknown(request, {"gap", "code", "q", "ordering", "cursor", "page_size"})
        form = MissingForm(request.query_params)
        if not form.is_valid():
            wrong = {name: [str(one) for one in errors] for name, errors in form.errors.items()}
            raise ValidationError(wrong)
        order = form.cleaned_data["ordering"] or "gap"
        rows = form.chosen(gaps(at=timezone.now()))
        key = ORDERS[order.removeprefix("-")]
        page = page_of(rows, key, request, backwards=order.startswith("-"))
        return Response(MissingPageSerializer(page).data)


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
