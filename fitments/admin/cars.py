"""Car makers, model ranges and variants in the back office."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin

from fitments.activities import cars
from fitments.activities.chassis import NotARange, Range, read_range
from fitments.models.car import CarMaker, ChassisRange, Variant, VehicleLine
from inventory.ground.backoffice.entering import EnteredForm, Kept
from inventory.ground.backoffice.looking import Looked

SEPARATOR = ";"


@admin.register(CarMaker)
class CarMakerAdmin(Kept):
    fields = ("code", "name", "country")
    list_display = ("name", "code", "country")
    search_fields = ("name", "code")
    ordering = ("name", "pk")
    make = staticmethod(cars.make_car_maker)
    change = staticmethod(cars.change_car_maker)
    called = "maker"


@admin.register(VehicleLine)
class VehicleLineAdmin(Kept):
    fields = ("maker", "code", "name")
    list_display = ("name", "maker", "code")
    search_fields = ("name", "code", "maker__name")
    autocomplete_fields = ("maker",)
    ordering = ("maker__name", "name", "pk")
    joined = ("maker",)
    make = staticmethod(cars.make_vehicle_line)
    change = staticmethod(cars.change_vehicle_line)
    called = "vehicle_line"


class VariantForm(EnteredForm):
    """A variant with its chassis numbers in one line."""

    names = {"chassis_ranges": "chassis"}
    chassis = forms.CharField(
        label="chassis numbers",
        required=False,
        max_length=1000,
        help_text="Prefix, first and last number, such as HS 100-250; several are parted by ;",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None and "chassis" in self.fields:
            self.fields["chassis"].initial = chassis_of(self.instance)

    def clean_chassis(self) -> list[Range]:
        """As the activity takes them."""
        parts = self.cleaned_data["chassis"].split(SEPARATOR)
        try:
            return [read_range(part) for part in parts if part.strip()]
        except NotARange as error:
            raise forms.ValidationError(str(error)) from error

    def values(self) -> dict[str, Any]:
        told = super().values()
        if "chassis" in told:
            told["chassis_ranges"] = told.pop("chassis")
        return told


def chassis_of(variant: Variant) -> str:
    """The chassis numbers of a variant in one line."""
    told = (
        f"{one.prefix} {one.number_from}-{one.number_to}".strip()
        for one in variant.chassis_ranges.all()
    )
    return f"{SEPARATOR} ".join(told)


@admin.register(Variant)
class VariantAdmin(Kept):
    form = VariantForm
    fields = (
        *("vehicle_line", "code", "name", "body", "built_from", "built_to", "chassis"),
        *("top_speed_kmh", "front_axle_kg", "rear_axle_kg", "front_wheels", "rear_wheels"),
        *("arch_overall_max_mm", "competition", "racing_scheme", "racing_period", "source"),
        *("note", "search"),
    )
    readonly_fields = ("search",)
    list_display = (
        *("code", "vehicle_line", "name", "body", "built_from", "built_to", "top_speed_kmh"),
        "competition",
    )
    list_filter = ("competition", "vehicle_line__maker")
    search_fields = ("code", "name", "search")
    autocomplete_fields = ("vehicle_line",)
    ordering = ("vehicle_line__maker__name", "vehicle_line__name", "built_from", "pk")
    joined = ("vehicle_line__maker",)
    make = staticmethod(cars.make_variant)
    change = staticmethod(cars.change_variant)
    called = "variant"

    @admin.display(description="chassis numbers")
    def chassis(self, variant: Variant) -> str:
        """For who may only look."""
        return chassis_of(variant)


@admin.register(ChassisRange)
class ChassisRangeAdmin(Looked):
    """Chassis numbers are told on the page of the variant."""

    list_display = ("prefix", "number_from", "number_to", "variant")
    search_fields = ("prefix", "variant__code")
    ordering = ("prefix", "number_from", "pk")
    joined = ("variant__vehicle_line__maker",)
