"""Vans and their meetings over the API: taken out, loaded, unloaded, and how each lot stands."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import outings
from inventory.activities.transferring import Load
from inventory.api.acting import Acting, row
from inventory.api.promised import number, who
from inventory.api.transfer_rows import MOST_LOADS, CameSerializer, LoadSerializer
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told
from inventory.ground.rest.views import Entered
from inventory.models.outing import Outing
from inventory.models.place import Place, Site

MAY_LOAD = {"POST": ["inventory.change_outing"]}


class OutingSerializer(Told):
    """One meeting that a van goes to."""

    number = number()
    opened_by = who("opened_by")
    ended_by = who("ended_by")

    class Meta:
        model = Outing
        fields = (
            *("id", "number", "van", "home", "meeting", "day", "note", "opened_at", "opened_by"),
            *("ended_at", "ended_by"),
        )
        read_only_fields = ("opened_at", "ended_at")


class VanLoadSerializer(Strict):
    """What is loaded, and into which place of the van."""

    into = row(Place)
    loads = LoadSerializer(many=True, allow_empty=False, max_length=MOST_LOADS)  # type: ignore[call-arg]
    they_fit = serializers.BooleanField(default=False)

    def validate_loads(self, told: list[dict[str, Any]]) -> list[Load]:
        """As the activity takes them."""
        return [Load(**one) for one in told]


class UnloadSerializer(Strict):
    """What was found in the van; `came` left out: all that is left by the books."""

    into = row(Place, required=False, allow_null=True)
    came = CameSerializer(many=True, required=False, max_length=MOST_LOADS)  # type: ignore[call-arg]
    they_fit = serializers.BooleanField(default=False)

    def validate_came(self, told: list[dict[str, Any]]) -> dict[int, int]:
        """Tyres by the keys of lots; a lot that is named twice counts together."""
        came: dict[int, int] = {}
        for one in told:
            came[one["lot"].pk] = came.get(one["lot"].pk, 0) + one["quantity"]
        return came


class StandsSerializer(serializers.Serializer[Any]):
    """One lot of the meeting: before, loaded, sold, otherwise, left, and what came back."""

    lot = serializers.IntegerField(source="lot.pk")
    lot_code = serializers.CharField(source="lot.code")
    sku_code = serializers.CharField(source="lot.sku.code")
    before = serializers.IntegerField()
    loaded = serializers.IntegerField()
    sold = serializers.IntegerField()
    otherwise = serializers.IntegerField()
    left = serializers.IntegerField()
    back = serializers.IntegerField()
    arrived = serializers.IntegerField()
    to_come = serializers.IntegerField()
    missing = serializers.IntegerField()


class OutingFilters(FilterSet):
    van = RowFilter(Site)
    home = RowFilter(Site)
    out = filters.BooleanFilter(field_name="ended_at", lookup_expr="isnull")


class Outings(Entered, Acting):
    """Meetings of vans, newest first."""

    queryset = Outing.objects.select_related("opened_by", "ended_by")
    serializer_class = OutingSerializer
    filterset_class = OutingFilters
    orderings = {"id": "pk", "day": "day"}
    default_ordering = "-id"
    make = staticmethod(outings.open_outing)
    called = "outing"

    @extend_schema(responses=StandsSerializer(many=True))
    @action(detail=True, methods=["get"], pagination_class=None, filter_backends=())
    def standing(self, request: Request, pk: str) -> Response:
        """How each lot stands: what was loaded and sold, what is left, what came back."""
        stands = outings.standing(self.get_object())
        return Response(StandsSerializer(stands, many=True).data)

    @extend_schema(request=VanLoadSerializer, responses=OutingSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_LOAD)
    @once
    def load(self, request: Request, pk: str) -> Response:
        """Load free tyres from the racks of its home into the van."""
        return self.step(request, outings.load, VanLoadSerializer)

    @extend_schema(request=UnloadSerializer, responses=OutingSerializer)
    @action(detail=True, methods=["post"], required_permissions=MAY_LOAD)
    @once
    def unload(self, request: Request, pk: str) -> Response:
        """End it: all that is left by the books goes home; what was not found is still to come."""
        return self.step(request, outings.unload, UnloadSerializer)
