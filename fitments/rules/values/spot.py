"""A place on a car: as it is listed, or as it stands in front of you and was typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fitments.rules.values.approval import ApprovalFact, CompetitionClass
from fitments.rules.values.span import ALWAYS, DaySpan
from fitments.rules.values.tyre import Number
from inventory.markings import Size


class Axle(StrEnum):
    FRONT = "front"
    REAR = "rear"


class RimKind(StrEnum):
    UNKNOWN = ""
    DISC = "disc"
    SPOKED = "spoked"
    ALLOY = "alloy"
    HUMPLESS = "humpless"


class Standing(StrEnum):
    """On whose word a size is on a car. ``ON_CAR``: it is simply what is on the car now."""

    FITTED_NEW = "fitted_new"
    APPROVED = "approved"
    ACCEPTED = "accepted"
    ON_CAR = "on_car"

    @property
    def words(self) -> str:
        return _STANDINGS[self]


_STANDINGS = {
    Standing.FITTED_NEW: "fitted when new",
    Standing.APPROVED: "approved by the car's maker",
    Standing.ACCEPTED: "an accepted alternative",
    Standing.ON_CAR: "on the car now",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedSize:
    """A size that goes on this axle, on whose word, for cars built when.

    ``keys`` are ``markings.search_keys`` of the size. ``combination`` names the fronts and rears
    that belong together. ``overall_mm`` and ``section_mm`` are set where measured or stated; else
    they are derived from the size, where they can be.
    """

    size: Size
    standing: Standing
    keys: frozenset[str] = frozenset()
    combination: str = ""
    least_load_index: int | None = None
    least_speed: str = ""
    built: DaySpan = ALWAYS
    overall_mm: Number | None = None
    section_mm: Number | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedPressure:
    """A pressure that somebody states, with the source; empty ``keys`` are any size."""

    kpa: int
    source: str
    when: str = ""
    keys: frozenset[str] = frozenset()
    size: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RacingPapers:
    """The racing period that a car's own papers state: a letter means nothing without a scheme."""

    scheme: str
    period: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One place on a car. Every field may be missing: a car that is not listed is a Spot too.

    ``car`` names it in a sentence. ``built`` is the day or the span of days of its building,
    ``first_used`` the day of its first use. ``wheels`` is how many wheels the axle has, of which
    ``axle_load_kg`` is the load. ``fitted`` are the sizes listed for this axle (of any build
    days), and a typed-in size "on the car now". ``reference_overall_mm`` is a measured diameter of
    what is replaced. ``arch_room_mm`` is the largest overall diameter that clears. ``approvals``
    are those of this car's range and of ``competition_class``. ``side`` is "left" or "right" where
    one wheel is meant. Limits are in months; None is no limit.
    """

    axle: Axle | None = None
    side: str = ""
    car: str = ""
    rim_mm: int | None = None
    bead: str = ""
    width_in: Number | None = None
    rim_kind: RimKind = RimKind.UNKNOWN
    tubed: bool | None = None
    axle_load_kg: Number | None = None
    wheels: int | None = None
    top_speed_kmh: int | None = None
    pressures: tuple[StatedPressure, ...] = ()
    built: DaySpan | None = None
    first_used: date | None = None
    fitted: tuple[FittedSize, ...] = ()
    reference_overall_mm: Number | None = None
    arch_room_mm: Number | None = None
    approvals: tuple[ApprovalFact, ...] = ()
    competition: bool = False
    competition_class: CompetitionClass | None = None
    racing: RacingPapers | None = None
    customer_limit_months: int | None = None
    house_limit_months: int | None = None
