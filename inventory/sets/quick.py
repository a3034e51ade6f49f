"""Counts for plain recipes over a whole shelf, without building the problem.

Most questions of a list are plain: one SKU a place, nothing handed, nothing on the car. They are
counted by the same sweeps, and the rest is left to the ordinary way, which gives the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from inventory.sets.alike import Alike, Key, alike
from inventory.sets.eligible import fault
from inventory.sets.lattice import march
from inventory.sets.layouts import AxleShape, layouts
from inventory.sets.recipe import Lot, Recipe, RecipePlace, Sku
from inventory.sets.stream import Stream
from inventory.sets.structure import problem
from inventory.sets.sweep import count_blocks, count_rows
from inventory.sets.whole import count_all

Cells = list[tuple[int, int]]  # (week, how many)
Places = list[tuple[RecipePlace, int]]  # alike places on one SKU, and how many they are


def lots_by_sku(lots: Iterable[Lot]) -> dict[Sku, list[Lot]]:
    """Lots in the order given, by what they are of."""
    by_sku: dict[Sku, list[Lot]] = {}
    for lot in lots:
        by_sku.setdefault(lot.sku, []).append(lot)
    return by_sku


def count_quickly(recipe: Recipe, lots: Sequence[Lot]) -> tuple[int, int]:
    """(sets, bound) without proof where the quick bounds do not meet, by the shortest way."""
    found = quick_count(recipe, lots_by_sku(lots))
    return count_all(problem(recipe, lots), proof=False) if found is None else (found, found)


def quick_count(recipe: Recipe, lots_of: Mapping[Sku, Sequence[Lot]]) -> int | None:
    """Sets of a plain recipe; None where it is not plain, or marching does not settle it."""
    places = _plain_places(recipe)
    if places is None:
        return None
    rules = alike(recipe)
    width = recipe.car_tolerance_weeks
    pools = [_pools(recipe, rules, place, lots_of) for place, _ in places]
    if len(pools) == 1 and places[0][1] == 1:
        return _axles(places[0][0], pools[0].values(), width)
    if not any(rules.round_car):
        return _fewest(places, [list(pool.values()) for pool in pools])
    cases = [_by_car_key(rules, pool) for pool in pools]
    found = 0
    for car_key in cases[0]:
        if all(car_key in case for case in cases):
            here = _case(width, places, [case[car_key] for case in cases])
            if here is None:
                return None
            found += here
    return found


def _plain_places(recipe: Recipe) -> Places | None:
    if recipe.anchors:
        return None
    by_sku: dict[Sku, RecipePlace] = {}
    times: dict[Sku, int] = {}
    for place in recipe.places:
        if len(place.skus) != 1 or not place.count or place.joins or place.apart:
            return None
        sku = place.skus[0]
        first = by_sku.setdefault(sku, place)
        if (first.count, first.tolerance_weeks) != (place.count, place.tolerance_weeks):
            return None
        times[sku] = times.get(sku, 0) + 1
    return [(place, times[sku]) for sku, place in by_sku.items()]


def _pools(
    recipe: Recipe, rules: Alike, place: RecipePlace, lots_of: Mapping[Sku, Sequence[Lot]]
) -> dict[Key, Cells]:
    pools: dict[Key, Cells] = {}
    for lot in lots_of.get(place.skus[0], ()):
        if lot.quantity > 0 and not fault(recipe, lot, place.marks):
            key = rules.key(lot, place.same_delivery)
            pools.setdefault(key, []).append((lot.week or 0, lot.quantity))
    return pools


def _by_car_key(rules: Alike, pools: Mapping[Key, Cells]) -> dict[Key, list[Cells]]:
    cases: dict[Key, list[Cells]] = {}
    for key, cells in pools.items():
        cases.setdefault(rules.car_key(key), []).append(cells)
    return cases


def _axles(place: RecipePlace, pools: Iterable[Cells], width: int | None) -> int:
    tolerance = _tolerance(place, width)
    return sum(count_blocks(Stream(cells), place.count, tolerance) for cells in pools)


def _fewest(places: Places, pools: Sequence[Sequence[Cells]]) -> int:
    return min(
        _axles(place, some, None) // number
        for (place, number), some in zip(places, pools, strict=True)
    )


def _case(width: int | None, places: Places, pools: Sequence[Sequence[Cells]]) -> int | None:
    if width is None:
        return _fewest(places, pools)
    if any(len(some) > 1 for some in pools):
        return None
    streams = [Stream(cells) for (cells,) in pools]
    if len(streams) == 1:
        place, number = places[0]
        return count_rows(streams[0], place.count, number, _tolerance(place, width), width)
    shapes = tuple(
        AxleShape(_tolerance(place, width), None, None, ((stream, place.count),))
        for stream, (place, number) in enumerate(places)
        for _ in range(number)
    )
    (layout,) = layouts(shapes, width)
    return sum(times for times, _ in march(layout, streams))


def _tolerance(place: RecipePlace, width: int | None) -> int | None:
    if width is None or place.tolerance_weeks is None:
        return place.tolerance_weeks if width is None else width
    return min(place.tolerance_weeks, width)
