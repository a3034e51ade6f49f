"""A tyre as the rules see it: what a SKU says, and the date of an actual one where there is one."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from fitments.rules.values.traits import (
    Condition,
    Hand,
    Shoulder,
    Sidewall,
    Status,
    Tread,
    TubeType,
    TyreUse,
    Weather,
)
from inventory.markings import Size

Number: TypeAlias = "int | float | Decimal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compound:
    """A competition compound; ``axle_only`` is "front", "rear" or empty."""

    code: str
    key: int | None = None
    axle_only: str = ""
    temperature_from_c: int | None = None
    temperature_to_c: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeApproval:
    """A type-approval number moulded on a tyre, under its scheme ("UN R30")."""

    scheme: str
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """When an actual tyre was made, as its lot has it, and its condition.

    ``first_day`` and ``last_day`` are its week by the US rule, ``earliest`` and ``latest`` the
    same with the doubt; all None where there is no date code, the first two where the decade is
    not known.
    """

    date_code: str = ""
    first_day: date | None = None
    last_day: date | None = None
    earliest: date | None = None
    latest: date | None = None
    condition: Condition = Condition.NEW
    buffed_to_mm: Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tyre:
    """One tyre. What is not known is None (or empty), never a guess.

    ``size_keys`` are ``markings.search_keys`` of the size. ``construction`` is the maker's word
    ("radial", "bias", "bias-belted"), which tells only where the size leaves it open. ``rim_mm``
    and ``bead`` are those of ``markings.rim_of``. ``overall_mm`` and ``section_mm`` are the
    maker's stated figures; where they are None they are derived from the size, where they can be.
    ``speed`` is the symbol of the service description, "(Y)" with its brackets. ``load_kg`` and
    ``top_speed_kmh`` are what the tyre's maker states, ``load_pressure_kpa`` the pressure at
    which that load holds. ``type_approvals`` is None where nobody has looked. ``supply_basis`` is
    on what basis a tyre without an E-mark is supplied, in words. ``made`` is None where no actual
    tyre is meant.
    """

    code: str
    size: Size | None = None
    size_keys: frozenset[str] = frozenset()
    construction: str = ""
    maker: str = ""
    pattern: str = ""
    pattern_key: int | None = None
    introduced: int | None = None
    withdrawn: int | None = None
    remade_since: int | None = None
    tread: Tread | None = None
    shoulder: Shoulder = Shoulder.UNKNOWN
    use: TyreUse | None = None
    weather: Weather = Weather.ANY
    compound: Compound | None = None
    axle_only: str = ""
    hand: Hand = Hand.NONE
    ply: int | None = None
    tube: TubeType = TubeType.UNKNOWN
    mark: str = ""
    mark_issue: str = ""
    sidewall: Sidewall = Sidewall.BLACK
    band_mm: int | None = None
    rim_mm: int | None = None
    bead: str = ""
    rim_width_min_in: Number | None = None
    rim_width_max_in: Number | None = None
    overall_mm: Number | None = None
    section_mm: Number | None = None
    load_index: int | None = None
    load_index_dual: int | None = None
    speed: str = ""
    load_kg: Number | None = None
    load_pressure_kpa: int | None = None
    top_speed_kmh: int | None = None
    type_approvals: tuple[TypeApproval, ...] | None = None
    supply_basis: str = ""
    status: Status = Status.CURRENT
    made: Made | None = None

    @property
    def condition(self) -> Condition | None:
        """The condition of the actual tyre; None where none is meant."""
        return self.made.condition if self.made else None

    @property
    def moulded_in(self) -> int | None:
        """The year in which the actual tyre was made, where one is meant and it is known."""
        day = self.made.last_day if self.made else None
        return day.year if day else None

    def as_made(self, made: Made | None) -> Tyre:
        """The same tyre as an actual one was made."""
        # Spelt out: asked of every set, and dataclasses.replace takes three times as long.
        tyre = object.__new__(Tyre)
        for name in _NAMES:
            object.__setattr__(tyre, name, getattr(self, name))
        object.__setattr__(tyre, "made", made)
        return tyre

    def __str__(self) -> str:
        said = (self.maker, self.pattern, str(self.size) if self.size else "")
        return " ".join(part for part in said if part) or self.code


_NAMES = tuple(field.name for field in fields(Tyre))
