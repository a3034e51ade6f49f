"""SKUs and article numbers over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework import serializers

from inventory.activities import cataloguing
from inventory.api.reading import rim, size_keys
from inventory.api.sku_rows import SkuSerializer
from inventory.ground.rest.filtering import (
    FilterSet,
    MeasuredFilter,
    ReadFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import Told
from inventory.ground.rest.views import Listed, Versioned
from inventory.markings import Rim, normalise_gtin, to_mm
from inventory.markings.size.model import BELTED, BIAS, RADIAL
from inventory.models.maker import Pattern, TyreMaker
from inventory.models.sku import Gtin, Sku, SkuKind, SkuQuerySet, SkuStatus

CONSTRUCTIONS = [(name, name) for name in (RADIAL, BIAS, BELTED)]


class SkuFilters(FilterSet):
    """Any of these together; each narrows."""

    size = ReadFilter(
        "size_keys", "overlap", read=size_keys, help_text="A size in any form: 185 70 15, 165HR15"
    )
    rim = ReadFilter(read=rim, method="on_rim", help_text="A rim by its mark: 15, 16.5, 380")
    construction = filters.ChoiceFilter(choices=CONSTRUCTIONS)
    mark = filters.CharFilter(lookup_expr="iexact", max_length=20)
    mark_issue = filters.CharFilter(lookup_expr="iexact", max_length=20)
    maker = RowFilter(TyreMaker)
    pattern = RowFilter(Pattern)
    status = filters.ChoiceFilter(choices=SkuStatus.choices)
    kind = filters.ChoiceFilter(choices=SkuKind.choices)
    code = filters.CharFilter(lookup_expr="iexact", max_length=40)
    gtin = ReadFilter("gtins__number", read=normalise_gtin, help_text="8, 12, 13 or 14 figures")
    price_from = filters.NumberFilter("price", "gte")
    price_to = filters.NumberFilter("price", "lte")
    overall_from = MeasuredFilter("overall_mm", "gte", read=to_mm, unit="mm")
    overall_to = MeasuredFilter("overall_mm", "lte", read=to_mm, unit="mm")
    q = WordsFilter(
        *("code", "name", "maker__name", "pattern__name", "size", "mark"),
        help_text="Words of the code, the maker, the pattern, the size or the mark",
    )

    def on_rim(self, rows: SkuQuerySet, name: str, value: Rim) -> QuerySet[Any]:
        """On this rim, by diameter and bead seat."""
        return rows.on_rim(value.diameter_mm, value.bead)


class Skus(Versioned):
    """Tyres and what goes with them, by every column that a size is read into."""

    queryset = Sku.objects.with_names().prefetch_related("gtins", "type_approvals")
    serializer_class = SkuSerializer
    filterset_class = SkuFilters
    orderings = {"code": "code", "maker": "maker__name", "size": "size", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(cataloguing.make_sku)
    change = staticmethod(cataloguing.change_sku)
    called = "sku"


class GtinSerializer(Told):
    """An article number of 14 figures, and the SKUs that it stands for."""

    skus: Any = serializers.PrimaryKeyRelatedField(many=True, read_only=True)

    class Meta:
        model = Gtin
        fields = ("id", "number", "skus")


class GtinFilters(FilterSet):
    number = ReadFilter(read=normalise_gtin, help_text="8, 12, 13 or 14 figures")
    sku = RowFilter(Sku, field_name="skus")


class Gtins(Listed):
    """Article numbers; they are given to a SKU where the SKU is entered or changed."""

    queryset = Gtin.objects.prefetch_related("skus")
    serializer_class = GtinSerializer
    filterset_class = GtinFilters
    orderings = {"number": "number", "id": "pk"}
    default_ordering = "number"
