"""How the API tells of a SKU, and what it takes to enter one."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from inventory.ground.rest.serializers import MeasuredField, Strict, Told
from inventory.markings import to_inches, to_kg, to_kmh, to_kpa, to_mm
from inventory.models.sku import Sku, TypeApproval


class TypeApprovalSerializer(Strict, serializers.ModelSerializer[Any]):
    """A type-approval number as moulded, and the scheme that it is a number of."""

    class Meta:
        model = TypeApproval
        fields = ("scheme", "number")


class GtinsField(serializers.ListField):
    """Article numbers of 8 to 14 figures, told as 14."""

    child = serializers.CharField(max_length=30)

    def to_representation(self, data: Any) -> list[str]:
        return [gtin.number for gtin in data.all()]


def optional(read: Any, unit: str, places: int = 0) -> MeasuredField:
    """A measured value that may be left out or unknown."""
    return MeasuredField(read=read, unit=unit, places=places, required=False, allow_null=True)


def worked_out(read: Any, unit: str, places: int = 0) -> MeasuredField:
    """A measured value that follows from the size."""
    return MeasuredField(read=read, unit=unit, places=places, read_only=True)


TO_ENTER = OpenApiExample(
    "a tyre",
    {
        "code": "FR-185-15-V",
        "maker": 3,
        "pattern": 12,
        "size_text": "185/70 VR 15",
        "tube": "tubeless",
        "max_load_kg": "1150 lb",
        "load_pressure_kpa": "2.4 bar",
        "mark": "HLM",
        "mark_issue": "2",
        "price": "189.00",
        "gtins": ["9521234567899"],
        "type_approvals": [{"scheme": "UN R30", "number": "0212345"}],
    },
    request_only=True,
)


@extend_schema_serializer(examples=[TO_ENTER])
class SkuSerializer(Told):
    """One thing that is bought and sold under one code.

    The size is sent as people write it (`size_text`); every column from `size` to
    `top_speed_kmh` is what was read from it.
    """

    maker_name = serializers.CharField(source="maker.name", read_only=True)
    pattern_name = serializers.CharField(
        source="pattern.name", read_only=True, default=None, allow_null=True
    )
    compound_code = serializers.CharField(
        source="compound.code", read_only=True, default=None, allow_null=True
    )
    overall_mm = worked_out(to_mm, "mm", 1)
    section_mm = worked_out(to_mm, "mm", 1)
    stated_overall_mm = optional(to_mm, "mm", 1)
    rim_width_min_in = optional(to_inches, "in", 2)
    rim_width_max_in = optional(to_inches, "in", 2)
    max_load_kg = optional(to_kg, "kg", 1)
    load_pressure_kpa = optional(to_kpa, "kPa")
    maker_top_speed_kmh = optional(to_kmh, "km/h")
    band_mm = optional(to_mm, "mm")
    weight_kg = optional(to_kg, "kg", 2)
    gtins = GtinsField(required=False)
    type_approvals = TypeApprovalSerializer(many=True, required=False)

    class Meta:
        model = Sku
        read_only_fields = (
            *("size", "family", "width_mm", "aspect", "construction", "rim_mm", "bead"),
            *("overall_basis", "load_index", "load_index_dual", "speed", "speed_in_size"),
            "top_speed_kmh",
        )
        fields = (
            *("id", "code", "kind", "maker", "maker_name", "pattern", "pattern_name"),
            *("compound", "compound_code", "name", "size_text"),
            *("size", "family", "width_mm", "aspect", "construction", "rim_mm", "bead"),
            *("overall_mm", "overall_basis", "section_mm", "load_index", "load_index_dual"),
            *("speed", "speed_in_size", "top_speed_kmh", "stated_overall_mm"),
            *("rim_width_min_in", "rim_width_max_in", "max_load_kg", "load_pressure_kpa"),
            *("maker_top_speed_kmh", "mark", "mark_issue", "tube", "axle_only", "hand", "ply"),
            *("sidewall", "band_mm", "weight_kg", "price", "currency", "status"),
            *("expected_on", "note", "gtins", "type_approvals"),
        )

    def validate_type_approvals(self, rows: list[dict[str, str]]) -> list[tuple[str, str]]:
        """As the activity takes them."""
        return [(row["scheme"], row["number"]) for row in rows]
