"""What is on order and has not come, over the API."""

from __future__ import annotations

from rest_framework import serializers

from inventory.ground.rest.filtering import FilterSet, IsoDateFilter, RowFilter, filters
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed
from inventory.models.expected import ExpectedDelivery, ExpectedState
from inventory.models.sku import Sku


class ExpectedSerializer(Told):
    """So many of a SKU on a day; `first_expected_on` is what was said at first."""

    sku_code = serializers.CharField(source="sku.code", read_only=True)

    class Meta:
        model = ExpectedDelivery
        fields = (
            *("id", "sku", "sku_code", "quantity", "expected_on", "first_expected_on"),
            *("reference", "state", "note", "made_at", "ended_at"),
        )


class ExpectedFilters(FilterSet):
    sku = RowFilter(Sku)
    state = filters.ChoiceFilter(choices=ExpectedState.choices)
    from_day = IsoDateFilter("expected_on", "gte")
    to_day = IsoDateFilter("expected_on", "lte")


class ExpectedDeliveries(Listed):
    """Expected deliveries, by day; they follow from the orders to suppliers."""

    queryset = ExpectedDelivery.objects.select_related("sku")
    serializer_class = ExpectedSerializer
    filterset_class = ExpectedFilters
    orderings = {"day": "expected_on", "sku": "sku__code", "id": "pk"}
    default_ordering = "day"
