"""Customers' tyres over the API: what is kept, and handing it back."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.activities import storing
from inventory.api.acting import Acting
from inventory.ground.idempotency import once
from inventory.ground.rest.filtering import FilterSet, RowFilter, filters
from inventory.ground.rest.serializers import Strict, Told
from inventory.models.customer import Customer
from inventory.models.storage import Storage, StoredLot


class StoredLotSerializer(serializers.ModelSerializer[Any]):
    """One lot that was taken in."""

    class Meta:
        model = StoredLot
        fields = ("id", "lot", "quantity")


class StorageSerializer(Told):
    """Tyres of one customer that are kept until a day."""

    number = serializers.CharField(read_only=True)
    lots = StoredLotSerializer(many=True, read_only=True)

    class Meta:
        model = Storage
        fields = (
            *("id", "number", "customer", "car", "due_on", "note", "taken_in_at", "ended_at"),
            *("handed_to", "lots"),
        )
        read_only_fields = fields


class HandBackSerializer(Strict):
    """Who takes them away."""

    handed_to = serializers.CharField(max_length=120)


class StorageFilters(FilterSet):
    customer = RowFilter(Customer)
    kept = filters.BooleanFilter(field_name="ended_at", lookup_expr="isnull")
    due_before = filters.DateFilter(field_name="due_on", lookup_expr="lt")


class Storages(Acting):
    """Customers' tyres, newest first."""

    queryset = Storage.objects.prefetch_related("lots")
    serializer_class = StorageSerializer
    filterset_class = StorageFilters
    orderings = {"id": "pk", "due_on": "due_on"}
    default_ordering = "-id"
    called = "storage"

    @extend_schema(request=HandBackSerializer, responses=StorageSerializer)
    @action(
        detail=True,
        methods=["post"],
        url_path="hand-back",
        required_permissions={"POST": ["inventory.change_storage"]},
    )
    @once
    def hand_back(self, request: Request, pk: str) -> Response:
        """Book out what is left of them."""
        return self.step(request, storing.hand_back, HandBackSerializer)
