"""Wheels, pressures, fitments, and which variant a customer's car is, over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import OpenApiExample, extend_schema_serializer
from rest_framework import serializers

from fitments.activities import fittings, wheels
from fitments.api.reading import size_keys
from fitments.models.car import IdentifiedCar, Pressure, Variant, VehicleLine, WheelOption
from fitments.models.fitment import Fitment, Standing
from inventory.ground.rest.filtering import FilterSet, ReadFilter, RowFilter, filters
from inventory.ground.rest.serializers import MeasuredField, Told
from inventory.ground.rest.views import Entered, Kept
from inventory.markings import Rim, rim_from, to_inches, to_kpa
from inventory.models.customer import Axle, Customer, CustomerCar


class WheelOptionSerializer(Told):
    """A wheel for one axle of a variant: its rim as marked (15, 380), its width in inches."""

    variant_code = serializers.CharField(source="variant.code", read_only=True)
    width_in = MeasuredField(read=to_inches, unit="in", places=2, required=False, allow_null=True)

    class Meta:
        model = WheelOption
        fields = (
            *("id", "variant", "variant_code", "name", "axle", "rim_text", "rim_mm", "bead"),
            *("width_in", "rim_kind", "tubed", "standard"),
        )
        read_only_fields = ("rim_mm",)


class WheelOptionFilters(FilterSet):
    variant = RowFilter(Variant)
    axle = filters.ChoiceFilter(choices=Axle.choices)
    rim = ReadFilter(read=rim_from, method="on_rim", help_text="A rim by its mark: 15, 380")
    standard = filters.BooleanFilter()

    def on_rim(self, rows: QuerySet[Any], name: str, value: Rim) -> QuerySet[Any]:
        """Wheels of this rim, by diameter and bead seat."""
        return rows.filter(rim_mm=value.diameter_mm, bead=value.bead)


class WheelOptions(Kept):
    """The wheels that variants could be had with, one row an axle."""

    queryset = WheelOption.objects.select_related("variant")
    serializer_class = WheelOptionSerializer
    filterset_class = WheelOptionFilters
    orderings = {"variant": "variant__code", "id": "pk"}
    default_ordering = "variant"
    make = staticmethod(wheels.make_wheel_option)
    change = staticmethod(wheels.change_wheel_option)
    called = "wheel"


class PressureSerializer(Told):
    """A pressure as a source states it; it is shown with its source and never worked out."""

    variant_code = serializers.CharField(source="variant.code", read_only=True)
    kpa = MeasuredField(read=to_kpa, unit="kPa")

    class Meta:
        model = Pressure
        fields = ("id", "variant", "variant_code", "axle", "size", "condition", "kpa", "source")


class PressureFilters(FilterSet):
    variant = RowFilter(Variant)
    axle = filters.ChoiceFilter(choices=Axle.choices)


class Pressures(Kept):
    """Pressures that handbooks and makers state. The car's own handbook goes before them."""

    queryset = Pressure.objects.select_related("variant")
    serializer_class = PressureSerializer
    filterset_class = PressureFilters
    orderings = {"variant": "variant__code", "id": "pk"}
    default_ordering = "variant"
    make = staticmethod(wheels.make_pressure)
    change = staticmethod(wheels.change_pressure)
    called = "pressure"


@extend_schema_serializer(
    examples=[
        OpenApiExample(
            "fitted when new",
            {
                "variant": 12,
                "axle": "front",
                "size_text": "185/70 HR 15",
                "least_load_index": 84,
                "least_speed": "S",
                "standing": "fitted_new",
                "source": "handbook of 1964, page 38",
            },
            request_only=True,
        )
    ]
)
class FitmentSerializer(Told):
    """A size for one axle of a variant, for cars built between two days, both inclusive."""

    variant_code = serializers.CharField(source="variant.code", read_only=True)

    class Meta:
        model = Fitment
        fields = (
            *("id", "variant", "variant_code", "axle", "combination", "size_text", "size"),
            *("rim_mm", "least_load_index", "least_speed", "standing", "built_from", "built_to"),
            *("wheel", "source"),
        )
        read_only_fields = ("size", "rim_mm")


class FitmentFilters(FilterSet):
    variant = RowFilter(Variant)
    vehicle_line = RowFilter(VehicleLine, field_name="variant__vehicle_line")
    axle = filters.ChoiceFilter(choices=Axle.choices)
    size = ReadFilter("size_keys", "overlap", read=size_keys, help_text="A size in any form")
    standing = filters.ChoiceFilter(choices=Standing.choices)


class Fitments(Kept):
    """Which size goes on which axle of which variant, and on whose word."""

    queryset = Fitment.objects.select_related("variant")
    serializer_class = FitmentSerializer
    filterset_class = FitmentFilters
    orderings = {"variant": "variant__code", "id": "pk"}
    default_ordering = "variant"
    make = staticmethod(fittings.make_fitment)
    change = staticmethod(fittings.change_fitment)
    called = "fitment"


class IdentifiedCarSerializer(Told):
    """Which variant a customer's car is. What was said of the same car before is replaced."""

    id = serializers.IntegerField(source="pk", read_only=True)
    car = serializers.CharField(source="customer_car.description", read_only=True)
    variant_code = serializers.CharField(source="variant.code", read_only=True)
    # The key of the row, and yet what is said anew: who is there already is no fault.
    customer_car: Any = serializers.PrimaryKeyRelatedField(queryset=CustomerCar.objects.all())

    class Meta:
        model = IdentifiedCar
        fields = ("id", "customer_car", "car", "variant", "variant_code")


class IdentifiedCarFilters(FilterSet):
    customer_car = RowFilter(CustomerCar)
    customer = RowFilter(Customer, field_name="customer_car__customer")
    variant = RowFilter(Variant)


class IdentifiedCars(Entered):
    """Which variant each customer's car is, as somebody found out."""

    queryset = IdentifiedCar.objects.select_related("customer_car", "variant")
    serializer_class = IdentifiedCarSerializer
    filterset_class = IdentifiedCarFilters
    make = staticmethod(fittings.identify)
