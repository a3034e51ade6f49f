"""Terms and production batches of suppliers over the API."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.activities import purchasing
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Strict, Told
from inventory.ground.rest.views import Versioned
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import PriceBreak, ProductionBatch, SupplierTerms


def whole(**options: Any) -> serializers.IntegerField:
    """A whole number of which the activity says whether it can be, in its own words."""
    return serializers.IntegerField(required=False, **options)


class PriceBreakSerializer(Strict, serializers.ModelSerializer[Any]):
    """From so many pieces on one order line, each costs so much."""

    from_quantity = serializers.IntegerField()

    class Meta:
        model = PriceBreak
        fields = ("from_quantity", "unit_price")


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "terms",
            {
                "supplier": 2,
                "sku": 14,
                "minimum": 8,
                "pack": 4,
                "lead_time_days": 70,
                "lead_time_spread_days": 14,
                "oldest_months": 12,
                "country": "Norland",
                "breaks": [{"from_quantity": 8, "unit_price": "95.00"}],
            },
            request_only=True,
        ),
    ]
)
class SupplierTermsSerializer(Told):
    """What a supplier asks for a SKU, and how old a tyre may be when it arrives."""

    supplier_name = serializers.CharField(source="supplier.name", read_only=True)
    sku_code = serializers.CharField(source="sku.code", read_only=True)
    breaks = PriceBreakSerializer(many=True, required=False)
    minimum = whole()
    pack = whole()
    lead_time_days = whole()
    lead_time_spread_days = whole()
    oldest_months = whole(allow_null=True)

    class Meta:
        model = SupplierTerms
        fields = (
            *("id", "supplier", "supplier_name", "sku", "sku_code", "their_code", "currency"),
            *("minimum", "pack", "lead_time_days", "lead_time_spread_days", "oldest_months"),
            *("country", "pattern_issue", "note", "breaks"),
        )

    def validate_breaks(self, rows: list[dict[str, Any]]) -> list[tuple[int, Decimal]]:
        """As the activity takes them."""
        return [(row["from_quantity"], row["unit_price"]) for row in rows]


class SupplierTermsFilters(FilterSet):
    supplier = RowFilter(Supplier)
    sku = RowFilter(Sku)
    q = WordsFilter("sku__code", "supplier__name", "their_code")


class TermsOfSuppliers(Versioned):
    """Price breaks, minimum, pack, lead time and oldest age, by supplier and SKU."""

    queryset = SupplierTerms.objects.select_related("supplier", "sku").prefetch_related("breaks")
    serializer_class = SupplierTermsSerializer
    filterset_class = SupplierTermsFilters
    orderings = {"sku": "sku__code", "supplier": "supplier__name", "id": "pk"}
    default_ordering = "sku"
    make = staticmethod(purchasing.make_terms)
    change = staticmethod(purchasing.change_terms)
    called = "terms"


class BatchSerializer(Told):
    """A run of a maker; `skus` are what it makes, none: whatever the supplier sells."""

    supplier_name = serializers.CharField(source="supplier.name", read_only=True)
    minimum_tyres = whole()
    skus: Any = serializers.PrimaryKeyRelatedField(
        many=True, queryset=Sku.objects.all(), required=False
    )

    class Meta:
        model = ProductionBatch
        fields = (
            *("id", "supplier", "supplier_name", "code", "order_by", "ready_on"),
            *("minimum_tyres", "skus", "note"),
        )


class BatchFilters(FilterSet):
    supplier = RowFilter(Supplier)
    sku = RowFilter(Sku, field_name="skus")
    code = filters.CharFilter(lookup_expr="iexact")
    order_by_from = IsoDateFilter("order_by", "gte", help_text="Can be ordered on this day still")


class Batches(Versioned):
    """Production batches with their cut-off dates."""

    queryset = ProductionBatch.objects.select_related("supplier").prefetch_related("skus")
    serializer_class = BatchSerializer
    filterset_class = BatchFilters
    orderings = {"order_by": "order_by", "code": "code", "id": "pk"}
    default_ordering = "order_by"
    make = staticmethod(purchasing.make_batch)
    change = staticmethod(purchasing.change_batch)
    called = "batch"
