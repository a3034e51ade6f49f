"""A car that is not listed: its wheels, its loads and speed, the tyres now on it."""

from __future__ import annotations

from typing import Any

from django import forms

from fitments.lookup.span import Span
from fitments.rules.values import Axle, DaySpan, FittedSize, RimKind, Spot, Standing
from inventory.ground.fields import one_line
from inventory.ground.quantities import QuantityFormField
from inventory.markings import Size, search_keys, to_kg, to_kmh
from stockist.counter.fields import RimField, SizeField
from stockist.counter.forms import RIM_KINDS, UseForm


def load_field(label: str) -> QuantityFormField:
    """A load on an axle."""
    return QuantityFormField(
        read=to_kg, unit="kg", lowest=50, highest=5000, label=label, required=False
    )


class WheelsForm(UseForm):
    """A car that is not listed: its wheels, its loads and speed, the tyres now on it."""

    car = forms.CharField(label="Car", max_length=80, required=False, validators=[one_line])
    top_speed = QuantityFormField(
        read=to_kmh,
        unit="km/h",
        lowest=10,
        highest=450,
        label="Its top speed, km/h or mph",
        required=False,
    )
    front_size = SizeField(label="Size now in front", max_length=60, required=False)
    front_rim = RimField(label="Front rim", max_length=30)
    front_width = forms.DecimalField(
        label="its width, in", min_value=1, max_value=20, decimal_places=2, required=False
    )
    front_load = load_field("Load on the front axle, kg")
    rear_size = SizeField(label="Size now behind, if another", max_length=60, required=False)
    rear_rim = RimField(label="Rear rim, if another", max_length=30, required=False)
    rear_width = forms.DecimalField(
        label="its width, in", min_value=1, max_value=20, decimal_places=2, required=False
    )
    rear_load = load_field("Load on the rear axle, kg")
    rim_kind = forms.ChoiceField(label="Rim", choices=RIM_KINDS, required=False)
    tubed = forms.NullBooleanField(label="Tubed", required=False)

    @property
    def of_car(self) -> list[forms.BoundField]:
        """The fields about the car and its use, for the page."""
        return [self[name] for name in ("car", "built", "use", "market", "top_speed")]

    @property
    def of_wheels(self) -> list[forms.BoundField]:
        """The fields about its wheels, for the page."""
        names = [name for name in self.fields if name.startswith(("front_", "rear_"))]
        return [self[name] for name in (*names, "rim_kind", "tubed")]

    def spots(self, house_limit_months: int) -> dict[Axle, Spot]:
        """Both axles as typed; the rear is like the front where nothing else was said."""
        return {axle: self._spot(axle, house_limit_months) for axle in Axle}

    def _said(self, axle: Axle, what: str) -> Any:
        own = self.cleaned_data.get(f"{axle}_{what}")
        return own or self.cleaned_data.get(f"front_{what}")

    def _spot(self, axle: Axle, house_limit_months: int) -> Spot:
        said = self.cleaned_data
        rim_mm, bead = self._said(axle, "rim")
        size: Size | None = self._said(axle, "size")
        on_car = (
            (FittedSize(size=size, standing=Standing.ON_CAR, keys=search_keys(size)),)
            if size
            else ()
        )
        built: Span | None = said.get("built")
        return Spot(
            axle=axle,
            car=said["car"],
            rim_mm=rim_mm,
            bead=bead,
            width_in=self._said(axle, "width"),
            rim_kind=RimKind(said["rim_kind"] or ""),
            tubed=said["tubed"],
            axle_load_kg=said.get(f"{axle}_load"),
            wheels=2,
            top_speed_kmh=round(said["top_speed"]) if said["top_speed"] else None,
            built=DaySpan(built.first, built.last) if built else None,
            fitted=on_car,
            customer_limit_months=self.limit_months(),
            house_limit_months=house_limit_months,
        )
