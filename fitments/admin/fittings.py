"""Wheels, pressures, fitments, and which variant a customer's car is, in the back office."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest

from fitments.activities import fittings, wheels
from fitments.models.car import IdentifiedCar, Pressure, WheelOption
from fitments.models.fitment import Fitment
from inventory.ground.backoffice.entering import EnteredForm, Kept

OF_A_VARIANT = ("variant__vehicle_line__maker",)


@admin.register(WheelOption)
class WheelOptionAdmin(Kept):
    fields = (
        *("variant", "name", "axle", "rim_text", "bead", "width_in", "rim_kind", "tubed"),
        *("standard", "rim_mm"),
    )
    readonly_fields = ("rim_mm",)
    list_display = ("variant", "name", "axle", "rim_text", "width_in", "rim_kind", "standard")
    list_filter = ("axle", "rim_kind", "standard")
    search_fields = ("variant__code", "variant__search", "name")
    autocomplete_fields = ("variant",)
    ordering = ("variant__code", "name", "axle", "pk")
    joined = OF_A_VARIANT
    make = staticmethod(wheels.make_wheel_option)
    change = staticmethod(wheels.change_wheel_option)
    called = "wheel"


@admin.register(Pressure)
class PressureAdmin(Kept):
    fields = ("variant", "axle", "size", "condition", "kpa", "source")
    list_display = ("variant", "axle", "size", "condition", "kpa", "source")
    list_filter = ("axle",)
    search_fields = ("variant__code", "variant__search", "size", "source")
    autocomplete_fields = ("variant",)
    ordering = ("variant__code", "axle", "kpa", "pk")
    joined = OF_A_VARIANT
    make = staticmethod(wheels.make_pressure)
    change = staticmethod(wheels.change_pressure)
    called = "pressure"


@admin.register(Fitment)
class FitmentAdmin(Kept):
    fields = (
        *("variant", "axle", "combination", "size_text", "least_load_index", "least_speed"),
        *("standing", "built_from", "built_to", "wheel", "source", "size", "rim_mm"),
    )
    readonly_fields = ("size", "rim_mm")
    list_display = (
        *("variant", "axle", "combination", "size", "least_load_index", "least_speed"),
        *("standing", "built_from", "built_to"),
    )
    list_filter = ("axle", "standing")
    search_fields = ("variant__code", "variant__search", "size", "size_text")
    autocomplete_fields = ("variant",)
    ordering = ("variant__code", "combination", "axle", "pk")
    joined = OF_A_VARIANT
    make = staticmethod(fittings.make_fitment)
    change = staticmethod(fittings.change_fitment)
    called = "fitment"


class IdentifiedCarForm(EnteredForm):
    """Which variant a car is; the car itself is not changed."""

    def values(self) -> dict[str, Any]:
        there = self.instance.pk is not None
        car = self.instance.customer_car if there else self.cleaned_data["customer_car"]
        return {"customer_car": car, "variant": self.cleaned_data["variant"]}


@admin.register(IdentifiedCar)
class IdentifiedCarAdmin(Kept):
    form = IdentifiedCarForm
    fields = ("customer_car", "variant")
    list_display = ("customer_car", "variant")
    search_fields = ("customer_car__description", "customer_car__plate", "variant__code")
    autocomplete_fields = ("customer_car", "variant")
    ordering = ("pk",)
    joined = ("customer_car", *OF_A_VARIANT)
    make = staticmethod(fittings.identify)

    def get_readonly_fields(self, request: HttpRequest, obj: Model | None = None) -> Any:
        return () if obj is None else ("customer_car",)

    def entered(
        self, row: Model | None, values: dict[str, Any], by: Any, seen: int | None
    ) -> Model:
        # Saying it again replaces what was said.
        return super().entered(None, values, by, seen)
