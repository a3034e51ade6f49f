"""Sets that need no search: the oldest lot of each tyre is enough for all that is wanted of it.

Then no other set is as old, and tyres of one lot are alike in all that a recipe may ask. Most sets
that are asked for on a full shelf are such.
"""

from __future__ import annotations

from collections.abc import Sequence

from inventory.sets.answer import MatchedSet, PlaceTyres
from inventory.sets.eligible import usable
from inventory.sets.recipe import Lot, Match, Prefer, Recipe, Sku


def evident_set(recipe: Recipe, lots: Sequence[Lot]) -> MatchedSet | None:
    """The one best set where it is plain to see; None where it has to be sought, or is not there.

    Best as for `choose`: the oldest (newest where preferred), and no other is as old.
    """
    wanted = _wanted(recipe)
    if wanted is None:
        return None
    by_sku: dict[Sku, list[Lot]] = {sku: [] for sku in wanted}
    for lot in usable(recipe, lots):
        if lot.week is None or lot.side is not None:
            return None
        by_sku[lot.sku].append(lot)
    best = {sku: _alone_in_front(some, recipe.prefer) for sku, some in by_sku.items()}
    found: list[PlaceTyres] = []
    for place in recipe.places:
        first = best[place.skus[0]]
        if first is None or first.quantity < wanted[first.sku]:
            return None
        found.append(PlaceTyres(place.name, ((first.key, place.count),)))
    return MatchedSet(tuple(found))


def _wanted(recipe: Recipe) -> dict[Sku, int] | None:
    """How many of each SKU, where a recipe asks nothing of tyres of different lots together."""
    if recipe.anchors:
        return None
    wanted: dict[Sku, int] = {}
    for place in recipe.places:
        if len(place.skus) != 1 or place.handed or place.joins or place.same_delivery:
            return None
        wanted[place.skus[0]] = wanted.get(place.skus[0], 0) + place.count
    together = Match.CAR in (recipe.mark, recipe.pattern_issue, recipe.sidewall)
    if len(wanted) > 1 and (together or recipe.car_tolerance_weeks is not None):
        return None
    return wanted


def _alone_in_front(lots: Sequence[Lot], prefer: Prefer) -> Lot | None:
    """The one lot of the first week to leave; None where there is none, or are several."""
    weeks = [lot.week for lot in lots if lot.week is not None]
    if not weeks:
        return None
    week = max(weeks) if prefer is Prefer.NEWEST else min(weeks)
    first = [lot for lot in lots if lot.week == week]
    return first[0] if len(first) == 1 else None
