"""Car makers, model ranges and variants over the API."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Q, QuerySet
from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from fitments.activities import cars
from fitments.activities.chassis import Range
from fitments.lookup.finding import chassis_within, plain
from fitments.models.car import CarMaker, ChassisRange, Variant, VehicleLine
from inventory.ground.rest.filtering import (
    FilterSet,
    IsoDateFilter,
    RowFilter,
    WordsFilter,
    filters,
)
from inventory.ground.rest.serializers import MeasuredField, Strict, Told
from inventory.ground.rest.views import Kept
from inventory.markings import to_kg, to_kmh, to_mm


class CarMakerSerializer(Told):
    """A maker of cars."""

    class Meta:
        model = CarMaker
        fields = ("id", "code", "name", "country")


class CarMakerFilters(FilterSet):
    code = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("code", "name")


class CarMakers(Kept):
    """Makers of cars."""

    queryset = CarMaker.objects.all()
    serializer_class = CarMakerSerializer
    filterset_class = CarMakerFilters
    orderings = {"name": "name", "code": "code", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cars.make_car_maker)
    change = staticmethod(cars.change_car_maker)
    called = "maker"


class ModelRangeSerializer(Told):
    """A model range: what a car maker's approval speaks of."""

    maker_name = serializers.CharField(source="maker.name", read_only=True)

    class Meta:
        model = VehicleLine
        fields = ("id", "maker", "maker_name", "code", "name")


class ModelRangeFilters(FilterSet):
    maker = RowFilter(CarMaker)
    code = filters.CharFilter(lookup_expr="iexact")
    q = WordsFilter("code", "name", "maker__name")


class ModelRanges(Kept):
    """Model ranges."""

    queryset = VehicleLine.objects.select_related("maker")
    serializer_class = ModelRangeSerializer
    filterset_class = ModelRangeFilters
    orderings = {"name": "name", "code": "code", "maker": "maker__name", "id": "pk"}
    default_ordering = "name"
    make = staticmethod(cars.make_vehicle_line)
    change = staticmethod(cars.change_vehicle_line)
    called = "vehicle_line"


class ChassisRangeSerializer(Strict, serializers.ModelSerializer[Any]):
    """Chassis numbers from the first to the last, both inclusive, behind a prefix."""

    class Meta:
        model = ChassisRange
        fields = ("prefix", "number_from", "number_to")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """The first comes before the last."""
        if attrs["number_from"] > attrs["number_to"]:
            raise serializers.ValidationError("The first chassis number comes before the last.")
        return attrs


def optional(read: Any, unit: str) -> MeasuredField:
    """A measured value that may not be known."""
    return MeasuredField(read=read, unit=unit, required=False, allow_null=True)


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "a saloon",
            {
                "vehicle_line": 4,
                "code": "SPR-16-SAL",
                "name": "1.6",
                "body": "saloon",
                "built_from": "1961-09-01",
                "built_to": "1966-07-29",
                "top_speed_kmh": "98 mph",
                "front_axle_kg": 560,
                "rear_axle_kg": 610,
                "chassis_ranges": [{"prefix": "HS", "number_from": 100, "number_to": 2500}],
                "source": "parts list 12",
            },
            request_only=True,
        )
    ]
)
class VariantSerializer(Told):
    """One variant of a range, as built between two days, both inclusive; null: not known."""

    maker_name = serializers.CharField(source="vehicle_line.maker.name", read_only=True)
    vehicle_line_name = serializers.CharField(source="vehicle_line.name", read_only=True)
    top_speed_kmh = optional(to_kmh, "km/h")
    front_axle_kg = optional(to_kg, "kg")
    rear_axle_kg = optional(to_kg, "kg")
    arch_overall_max_mm = optional(to_mm, "mm")
    chassis_ranges = ChassisRangeSerializer(many=True, required=False)

    class Meta:
        model = Variant
        fields = (
            *("id", "maker_name", "vehicle_line", "vehicle_line_name", "code", "name", "body"),
            *("built_from", "built_to", "top_speed_kmh", "front_axle_kg", "rear_axle_kg"),
            *("front_wheels", "rear_wheels", "arch_overall_max_mm", "competition"),
            *("racing_scheme", "racing_period", "chassis_ranges", "source", "note"),
        )

    def validate_chassis_ranges(self, rows: list[dict[str, Any]]) -> list[Range]:
        """As the activity takes them: prefixes are in capitals."""
        told = [(r.get("prefix", "").upper(), r["number_from"], r["number_to"]) for r in rows]
        return [Range(*row) for row in told]


class VariantFilters(FilterSet):
    maker = RowFilter(CarMaker, field_name="vehicle_line__maker")
    vehicle_line = RowFilter(VehicleLine)
    code = filters.CharFilter(lookup_expr="iexact")
    competition = filters.BooleanFilter()
    built_on = IsoDateFilter(method="built", help_text="In production on this day, or not known")
    chassis = filters.CharFilter(
        method="with_chassis", max_length=40, help_text="A whole chassis number, such as HS 1204"
    )
    q = filters.CharFilter(
        method="called", max_length=200, help_text="Words of maker, range, name and body"
    )

    def built(self, rows: QuerySet[Any], name: str, value: date) -> QuerySet[Any]:
        """In production on a day, as far as is known."""
        return rows.filter(
            Q(built_from__lte=value) | Q(built_from__isnull=True),
            Q(built_to__gte=value) | Q(built_to__isnull=True),
        )

    def with_chassis(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """Those among whose chassis numbers this one is."""
        return rows.filter(pk__in=chassis_within(value).values("variant_id"))

    def called(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """Those that have each of these words in what they are searched by."""
        for word in plain(value).split():
            rows = rows.filter(search__contains=word)
        return rows


class Variants(Kept):
    """Variants of model ranges."""

    queryset = Variant.objects.select_related("vehicle_line__maker").prefetch_related(
        "chassis_ranges"
    )
    serializer_class = VariantSerializer
    filterset_class = VariantFilters
    orderings = {"code": "code", "maker": "vehicle_line__maker__name", "id": "pk"}
    default_ordering = "code"
    make = staticmethod(cars.make_variant)
    change = staticmethod(cars.change_variant)
    called = "variant"
