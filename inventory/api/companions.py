"""What goes with a tyre, and whom the house buys from, over the API."""

from __future__ import annotations

from rest_framework import serializers

from inventory.activities import cataloguing
from inventory.api.reading import size_keys
from inventory.ground.rest.filtering import (
    FilterSet,
    ReadFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Kept
from inventory.models.companion import Companion, Need, RimKind
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier


class CompanionSerializer(Told):
    """For one tyre, or for every tyre of a size, on a kind of rim: what must go with it."""

    companion_code = serializers.CharField(source="companion.code", read_only=True)
    tyre_code = serializers.CharField(
        source="tyre.code", read_only=True, default=None, allow_null=True
    )

    class Meta:
        model = Companion
        fields = (
            *("id", "tyre", "tyre_code", "size_text", "size_key", "rim_kind", "valve"),
            *("companion", "companion_code", "need", "per_tyre", "source"),
        )
        read_only_fields = ("size_key",)


class CompanionFilters(FilterSet):
    tyre = RowFilter(Sku)
    companion = RowFilter(Sku)
    size = ReadFilter("size_key", "in", read=size_keys, help_text="A size in any form")
    rim_kind = filters.ChoiceFilter(choices=[c for c in RimKind.choices if c[0]])
    need = filters.ChoiceFilter(choices=Need.choices)


class Companions(Kept):
    """Tubes, rim tapes and valves: what goes with which tyre."""

    queryset = Companion.objects.select_related("tyre", "companion")
    serializer_class = CompanionSerializer
    filterset_class = CompanionFilters
    make = staticmethod(cataloguing.make_companion)
    change = staticmethod(cataloguing.change_companion)
    called = "companion_rule"


class SupplierSerializer(Told):
    """One supplier."""

    class Meta:
        model = Supplier
        fields = ("id", "code", "name", "email", "telephone", "note")


class SupplierFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("code", "name")


class Suppliers(Kept):
    """Whom the house buys from."""

    queryset = Supplier.objects.all()
    serializer_class = SupplierSerializer
    filterset_class = SupplierFilters
    orderings = {"name": "name", "code": "code", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cataloguing.make_supplier)
    change = staticmethod(cataloguing.change_supplier)
    called = "supplier"
