"""Enquiries over the API: what was asked for and not had."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.activities import enquiring
from inventory.api.postings import day_begins, day_ends
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Entered
from inventory.models.customer import Customer
from inventory.models.enquiry import Enquiry
from inventory.models.sku import Sku


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "a size that nobody has",
            {"size": "165 R 400", "pieces": 4, "car": "Hallmere Sprint of 1964"},
            request_only=True,
        )
    ]
)
class EnquirySerializer(Told):
    """A question that went away unmet: for a SKU, or for a size."""

    asked_by = serializers.CharField(source="asked_by.username", read_only=True)
    sku_code = serializers.CharField(
        source="sku.code", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = Enquiry
        fields = (
            *("id", "asked_at", "asked_by", "sku", "sku_code", "size", "pieces", "car"),
            *("customer", "note"),
        )
        read_only_fields = ("asked_at",)


class EnquiryFilters(FilterSet):
    sku = RowFilter(Sku)
    customer = RowFilter(Customer)
    size = filters.CharFilter(lookup_expr="iexact", max_length=60)
    from_day = IsoDateFilter(method="from_the")
    to_day = IsoDateFilter(method="to_the")
    q = WordsFilter("size", "car", "note", "sku__code")

    def from_the(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """Asked on this day or later."""
        return rows.filter(asked_at__gte=day_begins(value))

    def to_the(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """Asked on this day or earlier."""
        return rows.filter(asked_at__lte=day_ends(value))


class Enquiries(Entered):
    """What was asked for and not had, newest first."""

    queryset = Enquiry.objects.select_related("asked_by", "sku")
    serializer_class = EnquirySerializer
    filterset_class = EnquiryFilters
    orderings = {"id": "pk", "asked_at": "asked_at"}
    default_ordering = "-id"
    make = staticmethod(enquiring.record)
