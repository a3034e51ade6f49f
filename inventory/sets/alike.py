"""What has to be the same on an axle, and round the car.

Each lot has a key: what is compared about it, `None` standing in for what is not. Tyres of one axle
have to have equal keys. An undated tyre carries the delivery that stands for its week, so that
undated tyres of two deliveries, or undated and dated ones, never meet on an axle.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from inventory.sets.recipe import Anchor, Lot, Match, Recipe, RecipePlace

Key = tuple[Hashable, Hashable, Hashable, Hashable, Hashable]
Wanted = tuple[frozenset[Hashable] | None, ...]
"""By position in a key: the values that will do, or None for any."""

ANY: Wanted = (None, None, None, None, None)
DATED = None


def undated(lot: Lot) -> Hashable:
    """What stands for the week of an undated lot: its delivery, or the lot by itself."""
    return ("undated", _delivery(lot))


def _delivery(lot: Lot) -> Hashable:
    return ("lot", lot.key) if lot.delivery is None else ("delivery", lot.delivery)


@dataclass(frozen=True, slots=True)
class Alike:
    """Makes the keys of one recipe."""

    mark: bool
    pattern_issue: bool
    sidewall: bool
    round_car: tuple[bool, bool, bool, bool, bool]

    def key(self, lot: Lot, same_delivery: bool) -> Key:
        """What tyres of one axle have to share."""
        return (
            undated(lot) if lot.week is None else DATED,
            lot.mark if self.mark else None,
            lot.pattern_issue if self.pattern_issue else None,
            lot.sidewall if self.sidewall else None,
            _delivery(lot) if same_delivery else None,
        )

    def car_key(self, key: Key) -> Key:
        """The part of it that all axles have to share."""
        round_car = self.round_car
        return (
            key[0] if round_car[0] else None,
            key[1] if round_car[1] else None,
            key[2] if round_car[2] else None,
            key[3] if round_car[3] else None,
            None,
        )

    def wanted(self, recipe: Recipe, axle: RecipePlace) -> Wanted:
        """What the tyres already on the car leave open for this axle."""
        wanted = ANY
        for anchor in recipe.anchors:
            home = recipe.axle_of(anchor.place)
            if home is axle:
                compared = (True, self.mark, self.pattern_issue, self.sidewall, axle.same_delivery)
            elif not axle.apart and not (home and home.apart):
                compared = self.round_car
            else:
                continue
            values = anchor_values(anchor)
            wanted = tuple(
                _both(known, value if counts else None)
                for known, value, counts in zip(wanted, values, compared, strict=True)
            )
        return wanted


def alike(recipe: Recipe) -> Alike:
    """What this recipe compares."""
    by_weeks = recipe.car_tolerance_weeks is not None
    return Alike(
        mark=recipe.mark is not Match.FREE,
        pattern_issue=recipe.pattern_issue is not Match.FREE,
        sidewall=recipe.sidewall is not Match.FREE,
        round_car=(
            by_weeks,
            recipe.mark is Match.CAR,
            recipe.pattern_issue is Match.CAR,
            recipe.sidewall is Match.CAR,
            False,
        ),
    )


def anchor_values(anchor: Anchor) -> Wanted:
    """What a tyre on the car says about each position of a key; None where it is not known."""
    delivery = None if anchor.delivery is None else ("delivery", anchor.delivery)
    era: frozenset[Hashable] | None = None
    if anchor.week is not None:
        era = frozenset([DATED])
    elif delivery is not None:
        era = frozenset([("undated", delivery)])
    moulded = (anchor.mark, anchor.pattern_issue, anchor.sidewall)
    return (
        era,
        *(None if value is None else frozenset([value]) for value in moulded),
        None if delivery is None else frozenset([delivery]),
    )


def fits(wanted: Wanted, key: Iterable[Hashable]) -> bool:
    """Whether a lot with this key goes with the tyres on the car."""
    return all(values is None or value in values for values, value in zip(wanted, key, strict=True))


def _both(
    one: frozenset[Hashable] | None, other: frozenset[Hashable] | None
) -> frozenset[Hashable] | None:
    if one is None or other is None:
        return other if one is None else one
    return one & other
