"""Customers' tyres over the API: taken in, kept longer, handed back."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import storing
from inventory.api.acting import Acting, row
from inventory.api.promised import customer_name, number, who
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told, given
from inventory.models.customer import Customer
from inventory.models.lot import Condition
from inventory.models.place import Place
from inventory.models.sku import Sku
from inventory.models.storage import Storage, StorageExtension, StoredLot

MOST_KINDS = 100


class StoredLotSerializer(serializers.ModelSerializer[Any]):
    """One lot that was taken in."""

    lot_code = serializers.CharField(source="lot.code", read_only=True)

    class Meta:
        model = StoredLot
        fields = ("lot", "lot_code", "quantity")


class StorageExtensionSerializer(serializers.ModelSerializer[Any]):
    """It was put off: from when to when, why, by whom."""

    extended_by = who("extended_by")

    class Meta:
        model = StorageExtension
        fields = ("due_before", "due_after", "why", "extended_at", "extended_by")


class BroughtSerializer(Strict):
    """So many tyres that read alike."""

    sku = row(Sku)
    quantity = serializers.IntegerField()
    date_code = serializers.CharField(max_length=40, required=False, allow_blank=True)
    condition = serializers.ChoiceField(Condition.choices, default=Condition.FITTED)
    buffed_to_mm = serializers.DecimalField(3, 1, required=False, allow_null=True)


class StorageSerializer(Told):
    """Tyres of one customer that are kept until a day; `tyres` and `place` are said once."""

    number = number()
    customer_name = customer_name()
    taken_in_by = who("taken_in_by")
    ended_by = who("ended_by")
    place = row(Place, write_only=True)
    they_fit = serializers.BooleanField(write_only=True, default=False)
    tyres = BroughtSerializer(many=True, write_only=True, allow_empty=False, max_length=MOST_KINDS)  # type: ignore[call-arg]
    lots = StoredLotSerializer(many=True, read_only=True)
    extensions = StorageExtensionSerializer(many=True, read_only=True)

    class Meta:
        model = Storage
        fields = (
            *("id", "number", "customer", "customer_name", "car", "due_on", "note", "taken_in_at"),
            *("taken_in_by", "ended_at", "ended_by", "handed_to", "place", "they_fit", "tyres"),
            *("lots", "extensions"),
        )
        read_only_fields = ("taken_in_at", "ended_at", "handed_to")


class KeepLongerSerializer(Strict):
    """Until which later day, and why."""

    due_on = serializers.DateField()
    why = serializers.CharField(max_length=240)


class HandBackSerializer(Strict):
    """Who takes them away."""

    handed_to = serializers.CharField(max_length=120)


class StorageFilters(FilterSet):
    customer = RowFilter(Customer)
    kept = filters.BooleanFilter(field_name="ended_at", lookup_expr="isnull")
    due_before = IsoDateFilter(field_name="due_on", lookup_expr="lt")


MAY_CHANGE = {"POST": ["inventory.change_storage"]}


class Storages(Acting):
    """Customers' tyres, newest first."""

    queryset = Storage.objects.select_related(
        "customer", "taken_in_by", "ended_by"
    ).prefetch_related(
        "lots__lot", Prefetch("extensions", StorageExtension.objects.select_related("extended_by"))
    )
    serializer_class = StorageSerializer
    filterset_class = StorageFilters
    orderings = {"id": "pk", "due_on": "due_on"}
    default_ordering = "-id"
    called = "storage"

    @once
    def create(self, request: Request) -> Response:
        """Take a customer's tyres in, to be kept until a day."""
        told = given(self.get_serializer(data=request.data))
        told["tyres"] = [storing.Brought(**one) for one in told["tyres"]]
        made = storing.take_in(by=request.user, at=timezone.now(), **told)  # type: ignore[arg-type]
        return self.entered(request, made)

    @extend_schema(request=KeepLongerSerializer, responses=StorageSerializer)
    @action(detail=True, methods=["post"], url_path="keep-longer", required_permissions=MAY_CHANGE)
    @once
    def keep_longer(self, request: Request, pk: str) -> Response:
        """Put off the day on which they are due, with a reason."""
        return self.step(request, storing.keep_longer, KeepLongerSerializer)

    @extend_schema(request=HandBackSerializer, responses=StorageSerializer)
    @action(detail=True, methods=["post"], url_path="hand-back", required_permissions=MAY_CHANGE)
    @once
    def hand_back(self, request: Request, pk: str) -> Response:
        """Book out what is left of them."""
        return self.step(request, storing.hand_back, HandBackSerializer)
