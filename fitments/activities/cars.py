"""Car makers, their model ranges, and the variants in these with their chassis numbers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from fitments.activities.chassis import CHASSIS_RANGES, Range, write_chassis_ranges
from fitments.activities.searching import refresh_search
from fitments.models.car import CarMaker, Variant, VehicleLine
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry, Register, Values


class MakerRegister(Register[CarMaker]):
    """Car makers by their code; their variants are searched by the maker's name."""

    def write_parts(self, entries: Sequence[Entry[CarMaker]], *, by: User, at: datetime) -> None:
        renamed = [entry.row.pk for entry in entries if "name" in entry.changes]
        refresh_search(makers=renamed)


class LineRegister(Register[VehicleLine]):
    """Model ranges by their code; their variants are searched by the range's name."""

    def write_parts(self, entries: Sequence[Entry[VehicleLine]], *, by: User, at: datetime) -> None:
        renamed = [entry.row.pk for entry in entries if entry.changes]
        refresh_search(vehicle_lines=renamed)


class VariantRegister(Register[Variant]):
    """Variants by their code, with the ranges of their chassis numbers."""

    parts = frozenset({"chassis_ranges"})
    compared = (CHASSIS_RANGES,)

    def write_parts(self, entries: Sequence[Entry[Variant]], *, by: User, at: datetime) -> None:
        write_chassis_ranges(entries)
        refresh_search(variants=[e.row.pk for e in entries if e.is_new or e.is_changed])


def _variant_faults(variant: Variant, given: Values) -> list[Fault]:
    if bool(variant.racing_period) != bool(variant.racing_scheme):
        words = "A racing period belongs to a scheme: give both, or neither."
        return [Fault("racing_period", words)]
    return []


MAKERS = MakerRegister(CarMaker, key=("code",))
LINES = LineRegister(VehicleLine, key=("code",))
VARIANTS = VariantRegister(Variant, key=("code",), derive=_variant_faults)


class MakerValues(TypedDict, total=False):
    """What can be said of a maker of cars."""

    code: str
    name: str
    country: str


class LineValues(TypedDict, total=False):
    """What can be said of a model range."""

    maker: CarMaker
    code: str
    name: str


class VariantValues(TypedDict, total=False):
    """What can be said of a variant; both days of building are inclusive."""

    vehicle_line: VehicleLine
    code: str
    name: str
    body: str
    built_from: date | None
    built_to: date | None
    top_speed_kmh: int | None
    front_axle_kg: int | None
    rear_axle_kg: int | None
    front_wheels: int
    rear_wheels: int
    arch_overall_max_mm: int | None
    competition: bool
    racing_scheme: str
    racing_period: str
    source: str
    note: str
    chassis_ranges: Sequence[Range]


def make_car_maker(*, by: User, at: datetime, **values: Unpack[MakerValues]) -> CarMaker:
    """Enter a maker of cars. Raises Faulty."""
    return MAKERS.make(values, by=by, at=at)


def change_car_maker(
    *, maker: CarMaker, by: User, at: datetime, **values: Unpack[MakerValues]
) -> CarMaker:
    """Change what is given of a maker of cars. Raises Faulty."""
    return MAKERS.change(maker, values, by=by, at=at)


def make_vehicle_line(*, by: User, at: datetime, **values: Unpack[LineValues]) -> VehicleLine:
    """Enter a model range. Raises Faulty."""
    return LINES.make(values, by=by, at=at)


def change_vehicle_line(
    *, vehicle_line: VehicleLine, by: User, at: datetime, **values: Unpack[LineValues]
) -> VehicleLine:
    """Change what is given of a model range. Raises Faulty."""
    return LINES.change(vehicle_line, values, by=by, at=at)


def make_variant(*, by: User, at: datetime, **values: Unpack[VariantValues]) -> Variant:
    """Enter a variant with its chassis numbers; it can be searched at once. Raises Faulty."""
    return VARIANTS.make(values, by=by, at=at)


def change_variant(
    *, variant: Variant, by: User, at: datetime, **values: Unpack[VariantValues]
) -> Variant:
    """Change what is given of a variant. Raises Faulty."""
    return VARIANTS.change(variant, values, by=by, at=at)
