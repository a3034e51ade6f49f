"""What a customer wants of a set, and the recipe that says so. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.sets import HOUSE_TOLERANCE_WEEKS, Prefer


@dataclass(frozen=True, slots=True)
class AnchorWish:
    """A tyre that stays on the car: its axle, its week and how that was read."""

    axle: str
    week: int
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """Wishes that hold for every offer of an answer; with an anchor alone, one tyre beside it.

    ``from_site`` is the code of the site whose tyres are meant, "" for all sites.
    """

    front: int = 2
    rear: int = 2
    tolerance_weeks: int | None = HOUSE_TOLERANCE_WEEKS
    same_delivery: bool = False
    car_tolerance_weeks: int | None = None
    prefer: Prefer = Prefer.OLDEST
    limit_years: int | None = None
    spare: bool = False
    anchor: AnchorWish | None = None
    from_site: str = ""
