"""Blocks over the API: a lot taken off sale, and put back."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import blocking
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.ground.rest.views import Entered
from inventory.models.lot import Block, BlockReason, Lot
from inventory.models.sku import Sku


class BlockSerializer(Told):
    """A lot that may not be sold, and why; `lifted_at` is null while the block stands."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)
    placed_by = serializers.CharField(source="placed_by.username", read_only=True)
    lifted_by = serializers.CharField(
        source="lifted_by.username", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = Block
        fields = (
            *("id", "lot", "lot_code", "reason", "note", "placed_at", "placed_by"),
            *("lifted_at", "lifted_by", "lifted_why"),
        )
        read_only_fields = ("placed_at", "lifted_at", "lifted_why")


class LiftSerializer(Strict):
    """Why a block is lifted."""

    why = serializers.CharField(max_length=4000)


class BlockFilters(FilterSet):
    lot = RowFilter(Lot)
    sku = RowFilter(Sku, field_name="lot__sku")
    reason = filters.ChoiceFilter(choices=BlockReason.choices)
    standing = filters.BooleanFilter("lifted_at", "isnull", help_text="Whether it still stands")


class Blocks(Entered):
    """Lots off sale, newest first. A block is never taken out: it is lifted, with a reason."""

    queryset = Block.objects.select_related("lot", "placed_by", "lifted_by")
    serializer_class = BlockSerializer
    filterset_class = BlockFilters
    orderings = {"id": "pk", "placed_at": "placed_at"}
    default_ordering = "-id"
    make = staticmethod(blocking.block)

    @extend_schema(request=LiftSerializer, responses=BlockSerializer)
    @action(
        detail=True,
        methods=["post"],
        required_permissions={"POST": ["inventory.change_block"]},
    )
    @once
    def lift(self, request: Request, pk: str) -> Response:
        """Lift a block: the lot may be sold again when none stands."""
        values: dict[str, Any] = given(LiftSerializer(data=request.data))
        values |= {"block": self.get_object(), "by": request.user}
        lifted = blocking.lift(at=timezone.now(), **values)
        return self.told(self.again(lifted))
