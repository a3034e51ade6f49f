"""What a matched set is: the tyres asked for, the lots on the shelf, the tyres already on the car.

Plain values only. A *week* is an integer count of weeks (any fixed zero), never the four figures on
the sidewall; turning a date code, or an age limit on the day of despatch, into a week is done once,
by whoever fills these values in. All limits are inclusive.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from enum import StrEnum

from inventory.sets.validity import refuse_bad_recipe

Sku = str | int

HOUSE_TOLERANCE_WEEKS = 26
"""Widest spread of date codes on an axle unless a recipe says otherwise (common practice, no
source)."""


class Match(StrEnum):
    """How far something moulded on the sidewall has to be the same."""

    FREE = "free"
    AXLE = "axle"
    CAR = "car"


class Prefer(StrEnum):
    """Which acceptable stock leaves first."""

    OLDEST = "oldest"
    NEWEST = "newest"


class Side(StrEnum):
    """The side of the car a handed tyre is built for."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Lot:
    """Free tyres of one lot in one place.

    key: whatever names it to the caller, such as (lot id, place id).
    week: None where the sidewall gives no date.
    delivery: what it came with; None where that is not known.
    mark: approval mark and issue as one text, "" where there is none.
    side: "left" or "right" for handed builds, else None.
    place, walk: where it stands, and where that comes on the way round the racks.
    quantity: how many of them may be promised.
    """

    key: Hashable
    sku: Sku
    week: int | None
    quantity: int
    delivery: Hashable | None = None
    mark: str = ""
    pattern_issue: str = ""
    sidewall: str = ""
    side: str | None = None
    place: str = ""
    walk: int = 0


@dataclass(frozen=True, slots=True)
class RecipePlace:
    """Tyres for one place on the car: an axle, or the spare.

    name: "front", "rear", "spare": used in sentences.
    skus: acceptable SKUs; one of them has to serve the whole axle.
    count: tyres wanted, 1 to 6; or left and right for handed tyres, and then count stays 0.
    tolerance_weeks: widest spread of weeks on the axle; None for no limit.
    same_delivery: all tyres of the axle have to have come together.
    marks: acceptable marks, each with its issue; empty for any.
    joins: name of the axle that this place matches, as a spare may: it shares that axle's
        tolerance and marks, and its SKU where skus is empty.
    apart: takes no part in what has to be the same, or within a tolerance, round the car, as for a
        spare of another kind.
    """

    name: str
    skus: tuple[Sku, ...] = ()
    count: int = 0
    left: int = 0
    right: int = 0
    tolerance_weeks: int | None = HOUSE_TOLERANCE_WEEKS
    same_delivery: bool = False
    marks: tuple[str, ...] = ()
    joins: str = ""
    apart: bool = False

    @property
    def handed(self) -> bool:
        """Whether it asks for left and right tyres."""
        return bool(self.left or self.right)

    @property
    def tyres(self) -> int:
        """How many tyres it takes."""
        return self.count or self.left + self.right


@dataclass(frozen=True, slots=True)
class Anchor:
    """A tyre already on the car, which the new ones have to match.

    It joins its axle's tolerance and marks as a tyre that costs nothing. The place may be one the
    recipe does not ask for; then only what holds round the car counts. None: not known, and so not
    compared; but where weeks count it needs a week, or the delivery that stands for one.
    """

    place: str
    week: int | None = None
    delivery: Hashable | None = None
    sku: Sku | None = None
    mark: str | None = None
    pattern_issue: str | None = None
    sidewall: str | None = None


@dataclass(frozen=True, slots=True)
class Companion:
    """A tube, rim tape or valve that goes with the tyres.

    per_tyre: how many for each tyre of the named places (all places where none is named).
    must: False for one that may go along; it never bounds a promise.
    """

    sku: Sku
    per_tyre: int = 1
    must: bool = True
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Recipe:
    """Everything one complete set has to satisfy. Refuses nonsense with `BadRecipe`.

    car_tolerance_weeks: widest spread round the car; None for no limit.
    oldest_week: nothing made before it; None for no limit. Under such a limit an undated tyre
        cannot be shown to be young enough and is left out, unless allow_undated says otherwise.
    mark, pattern_issue, sidewall: how far each has to be the same.
    """

    places: tuple[RecipePlace, ...]
    car_tolerance_weeks: int | None = None
    oldest_week: int | None = None
    allow_undated: bool = False
    prefer: Prefer = Prefer.OLDEST
    mark: Match = Match.AXLE
    pattern_issue: Match = Match.AXLE
    sidewall: Match = Match.AXLE
    anchors: tuple[Anchor, ...] = ()
    companions: tuple[Companion, ...] = ()

    def __post_init__(self) -> None:
        refuse_bad_recipe(self)

    @property
    def tyres(self) -> int:
        """How many tyres one set has."""
        return sum(place.tyres for place in self.places)

    def axle_of(self, name: str) -> RecipePlace | None:
        """The place whose tolerance and marks hold for the place of that name."""
        for place in self.places:
            if place.name == name:
                return self.axle_of(place.joins) if place.joins else place
        return None

    def skus_at(self, place: RecipePlace) -> tuple[Sku, ...]:
        """Acceptable SKUs, a joined place without its own taking its axle's."""
        if place.skus or not place.joins:
            return place.skus
        axle = self.axle_of(place.joins)
        return axle.skus if axle else ()

    def companions_per_set(self) -> dict[Sku, int]:
        """How many of each companion that a set must have."""
        needed: dict[Sku, int] = {}
        for companion in self.companions:
            if companion.must:
                tyres = sum(
                    place.tyres
                    for place in self.places
                    if not companion.places or place.name in companion.places
                )
                needed[companion.sku] = needed.get(companion.sku, 0) + companion.per_tyre * tyres
        return {sku: count for sku, count in needed.items() if count}
