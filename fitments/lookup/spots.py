"""Places on a car as the rules see them: as listed, or with the wheels in front of you."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache
from typing import Any

from django.db.models import Prefetch, QuerySet

from fitments.lookup.tyres import size_read
from fitments.models.car import Pressure, Variant, WheelOption
from fitments.models.fitment import Fitment
from fitments.models.organiser import CompetitionClass as ClassRow
from fitments.rules.values import (
    ApprovalFact,
    Axle,
    CompetitionClass,
    DaySpan,
    FittedSize,
    RacingPapers,
    RimKind,
    Spot,
    Standing,
    StatedPressure,
)
from inventory.markings import Size, search_keys

AXLES = (Axle.FRONT, Axle.REAR)
# In an order inside each variant; their own would join three tables to put variants in order too.
# The variant goes first, as the index has it: what is left to be put in order is a handful.
ROWS: dict[str, QuerySet[Any]] = {
    "wheel_options": WheelOption.objects.order_by("variant_id", "-standard", "name", "axle", "pk"),
    "fitments": Fitment.objects.order_by("variant_id", "combination", "axle", "built_from", "pk"),
    "pressures": Pressure.objects.order_by("variant_id", "axle", "kpa", "pk"),
}
FETCHED = "fetched_"  # lists of their own: a manager asked for rows makes a queryset each time


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedWheel:
    """A wheel as somebody measured it; ``on_it`` is the size of the tyre now on it, if told."""

    rim_mm: int
    bead: str
    width_in: Decimal | None = None
    rim_kind: RimKind = RimKind.UNKNOWN
    tubed: bool | None = None
    on_it: Size | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AsItStands:
    """How the car stands: a named wheel of the list, typed wheels by axle, and the limits asked."""

    wheel: str = ""
    typed: Mapping[Axle, TypedWheel] = field(default_factory=dict)
    customer_limit_months: int | None = None
    house_limit_months: int | None = None


def with_places(variants: QuerySet[Variant]) -> QuerySet[Variant]:
    """Variants with wheels, sizes and pressures: a fixed number of queries for any number."""
    return variants.select_related("vehicle_line__maker").prefetch_related(
        *(Prefetch(name, rows, to_attr=f"{FETCHED}{name}") for name, rows in ROWS.items())
    )


def has_places(variant: Variant) -> bool:
    """Whether a variant was loaded by ``with_places``."""
    return all(f"{FETCHED}{name}" in vars(variant) for name in ROWS)


def listed_rows(variant: Variant, name: str) -> list[Any]:
    """Its ``wheel_options``, ``fitments`` or ``pressures``: as fetched, else asked for now."""
    fetched: list[Any] | None = vars(variant).get(f"{FETCHED}{name}")
    return list(getattr(variant, name).all()) if fetched is None else fetched


def class_of(row: ClassRow | None) -> CompetitionClass | None:
    if row is None:
        return None
    return CompetitionClass(
        organiser=row.organiser.name,
        name=row.name,
        season=row.season,
        edition=row.edition,
        age_limit_months=row.age_limit_months,
        buffing_allowed=row.buffing_allowed,
    )


def wheel_names(variant: Variant) -> tuple[str, ...]:
    """The wheels that a variant could be had with, the listed one first, each name once."""
    return tuple(dict.fromkeys(option.name for option in listed_rows(variant, "wheel_options")))


def option_for(variant: Variant, axle: Axle, wheel: str) -> WheelOption | None:
    """The named wheel of an axle; the listed one where none is named, or the name is not there."""
    options = [one for one in listed_rows(variant, "wheel_options") if one.axle == axle]
    named = [one for one in options if wheel and one.name == wheel]
    listed = [one for one in options if one.standard]
    return next(iter(named or listed), None)


def spots_of(
    variant: Variant,
    *,
    built: DaySpan,
    stands: AsItStands,
    approvals: tuple[ApprovalFact, ...],
    competition_class: CompetitionClass | None,
) -> dict[Axle, Spot]:
    """Both axles of a car built in a span, from a variant loaded by ``with_places``.

    ``approvals`` are those of its range and class; each axle gets its own and those of either.
    """
    return {
        axle: spot_of(
            variant,
            axle,
            built=built,
            stands=stands,
            approvals=approvals,
            competition_class=competition_class,
        )
        for axle in AXLES
    }


def spot_of(
    variant: Variant,
    axle: Axle,
    *,
    built: DaySpan,
    stands: AsItStands,
    approvals: tuple[ApprovalFact, ...],
    competition_class: CompetitionClass | None,
) -> Spot:
    """The same for one axle."""
    front = axle is Axle.FRONT
    return Spot(
        axle=axle,
        car=str(variant),
        axle_load_kg=variant.front_axle_kg if front else variant.rear_axle_kg,
        wheels=variant.front_wheels if front else variant.rear_wheels,
        top_speed_kmh=variant.top_speed_kmh,
        pressures=_pressures(variant, axle),
        built=built,
        fitted=_fitted(variant, axle, stands),
        arch_room_mm=variant.arch_overall_max_mm,
        approvals=tuple(one for one in approvals if one.axle in ("", axle)),
        competition=variant.competition,
        competition_class=competition_class,
        racing=papers_of(variant),
        customer_limit_months=stands.customer_limit_months,
        house_limit_months=stands.house_limit_months,
        **_wheel(variant, axle, stands),  # type: ignore[arg-type]
    )


def _wheel(variant: Variant, axle: Axle, stands: AsItStands) -> dict[str, object]:
    typed = stands.typed.get(axle)
    option = option_for(variant, axle, stands.wheel)
    wheel = typed or option
    if wheel is None:
        return {}
    return {
        "rim_mm": wheel.rim_mm,
        "bead": wheel.bead,
        "width_in": wheel.width_in,
        "rim_kind": RimKind(wheel.rim_kind),
        "tubed": wheel.tubed,
    }


def papers_of(variant: Variant) -> RacingPapers | None:
    """The racing period on the papers of such cars."""
    if not variant.racing_period:
        return None
    return RacingPapers(scheme=variant.racing_scheme, period=variant.racing_period)


def _pressures(variant: Variant, axle: Axle) -> tuple[StatedPressure, ...]:
    rows = listed_rows(variant, "pressures")
    return tuple(stated_pressure(row) for row in rows if row.axle == axle)


def stated_pressure(row: Any) -> StatedPressure:
    """A row of pressures as the rules see it; one value for all rows that say the same."""
    return _pressure(row.kpa, row.source, row.condition, row.size)


@lru_cache(maxsize=20_000)
def _pressure(kpa: int, source: str, when: str, size: str) -> StatedPressure:
    read = size_read(size) if size else None
    keys = search_keys(read) if read else frozenset()
    return StatedPressure(kpa=kpa, source=source, when=when, keys=keys, size=size)


def fitments_on(variant: Variant, axle: Axle, wheel: str) -> list[Fitment]:
    """The listed sizes of an axle, those that go with another wheel than the named left out."""
    option = option_for(variant, axle, wheel)
    name = option.name if option else ""
    rows = [one for one in listed_rows(variant, "fitments") if one.axle == axle]
    return [one for one in rows if one.wheel in ("", name)]


def fitted_size(row: Any) -> FittedSize | None:
    """A row of fitments as the rules see it; None where its size cannot be read."""
    size = size_read(row.size)
    if size is None:
        return None
    return FittedSize(
        size=size,
        standing=Standing(row.standing),
        keys=frozenset(row.size_keys),
        combination=row.combination,
        least_load_index=row.least_load_index,
        least_speed=row.least_speed,
        built=DaySpan(row.built_from, row.built_to),
        source=row.source,
    )


def _fitted(variant: Variant, axle: Axle, stands: AsItStands) -> tuple[FittedSize, ...]:
    sizes = map(fitted_size, fitments_on(variant, axle, stands.wheel))
    found = [size for size in sizes if size is not None]
    typed = stands.typed.get(axle)
    if typed is not None and typed.on_it is not None:
        found.append(
            FittedSize(size=typed.on_it, standing=Standing.ON_CAR, keys=search_keys(typed.on_it))
        )
    return tuple(found)
