"""Why the sets are fewer than the pieces suggest, in words.

The rules are put on one by one, from none at all to the whole recipe; each that takes sets away
gives a clause. So a rule is named only where it cost something.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from inventory.sets import clauses
from inventory.sets.clauses import bare_place
from inventory.sets.eligible import NO_DATE, OTHER_MARK, TOO_OLD, fault, marks_by_sku
from inventory.sets.pieces import pieces_by_place, sets_by_pieces, sets_by_place
from inventory.sets.quick import count_quickly
from inventory.sets.recipe import Lot, Match, Recipe, Sku

Said = Callable[[Recipe, Sequence[Lot]], str]
MOULDED = ("mark", "pattern_issue", "sidewall")
Stage = tuple[Recipe, list[Lot], Said]


def explain(
    recipe: Recipe,
    lots: Iterable[Lot],
    sets: int,
    companions_stock: Mapping[Sku, int] | None,
    names: Mapping[Sku, str] | None = None,
) -> str:
    """Why there are only so many sets; "" where the pieces of no place suggest more.

    names: what companions are called, where their SKU is a key that says nothing to people.
    """
    lots = [lot for lot in lots if lot.quantity > 0]
    if 0 < sets == max(sets_by_place(recipe, lots).values()):
        return ""
    said = [*_short_places(recipe, lots), *_costs(recipe, lots, sets)]
    if companions_stock is not None:
        said += _short_companions(recipe, sets, companions_stock, names or {})
    return "; ".join(said)


def _short_places(recipe: Recipe, lots: Sequence[Lot]) -> Iterator[str]:
    """Places whose pieces alone hold the others back."""
    by_place = sets_by_place(recipe, lots)
    pieces = pieces_by_place(recipe, lots)
    most = max(by_place.values())
    for place in recipe.places:
        if by_place[place.name] < max(most, 1):
            yield f"{place.name} short: {pieces[place.name]} in stock, a set takes {place.tyres}"


def _costs(recipe: Recipe, lots: Sequence[Lot], sets: int) -> Iterator[str]:
    """A clause for each rule that takes sets away, down to the sets there are."""
    before = sets_by_pieces(recipe, lots)
    counted: tuple[Recipe, list[Lot]] | None = None
    for bare, shelf, said in _stages(recipe, lots):
        if before <= sets:
            return
        if counted == (bare, shelf):
            continue  # a rule that this recipe does not have, or that no lot here breaks
        counted = bare, shelf
        after = max(sets, count_quickly(bare, shelf)[0])
        if after < before:
            yield said(recipe, lots)
            before = after


def _stages(recipe: Recipe, lots: Sequence[Lot]) -> Iterator[Stage]:
    """The recipe with ever more of its rules, and the lots that they leave."""
    marks = marks_by_sku(recipe)
    shelf = [lot for lot in lots if lot.sku in marks]
    moulded: dict[str, Any] = {
        name: getattr(recipe, name) if _alike(shelf, name) else Match.FREE for name in MOULDED
    }
    bare = Recipe(tuple(bare_place(place) for place in recipe.places), **moulded)
    yield bare, _all_dated(shelf), clauses.one_sku
    faults = {id(lot): fault(recipe, lot, marks[lot.sku]) for lot in shelf}
    shelf = [lot for lot in shelf if faults[id(lot)] not in (TOO_OLD, NO_DATE)]
    yield bare, _all_dated(shelf), clauses.ages
    shelf = [lot for lot in shelf if faults[id(lot)] != OTHER_MARK]
    yield bare, _all_dated(shelf), clauses.marks_named
    bare = _places_with(bare, recipe, "count", "left", "right")
    yield bare, _all_dated(shelf), clauses.sides
    for name in MOULDED:
        bare = _with(bare, **{name: getattr(recipe, name)})
        yield bare, _all_dated(shelf), clauses.differing(name)
    yield bare, shelf, clauses.undated
    bare = _places_with(bare, recipe, "tolerance_weeks")
    yield bare, shelf, clauses.axle_dates
    bare = _places_with(bare, recipe, "same_delivery")
    yield bare, shelf, clauses.deliveries
    bare = _with(bare, car_tolerance_weeks=recipe.car_tolerance_weeks)
    yield bare, shelf, clauses.car_dates
    yield _with(bare, anchors=recipe.anchors), shelf, clauses.anchors


def _alike(shelf: Sequence[Lot], name: str) -> bool:
    """Whether all lots say the same; then it takes nothing away that they have to, ever."""
    return len({getattr(lot, name) for lot in shelf}) <= 1


def _with(bare: Recipe, **rules: Any) -> Recipe:
    """The recipe with these rules put on; itself where it has them already."""
    same = all(getattr(bare, name) == value for name, value in rules.items())
    return bare if same else replace(bare, **rules)


def _places_with(bare: Recipe, recipe: Recipe, *names: str) -> Recipe:
    """The same of what holds for each place."""
    both = list(zip(bare.places, recipe.places, strict=True))
    if all(getattr(one, name) == getattr(full, name) for one, full in both for name in names):
        return bare
    places = (replace(one, **{name: getattr(full, name) for name in names}) for one, full in both)
    return replace(bare, places=tuple(places))


def _all_dated(lots: list[Lot]) -> list[Lot]:
    if all(lot.week is not None for lot in lots):
        return lots
    return [replace(lot, week=0) if lot.week is None else lot for lot in lots]


def _short_companions(
    recipe: Recipe, sets: int, stock: Mapping[Sku, int], names: Mapping[Sku, str]
) -> Iterator[str]:
    for sku, count in recipe.companions_per_set().items():
        here = max(stock.get(sku, 0), 0)
        if here // count <= sets:
            yield f"{names.get(sku, sku)}: only {here}, a set takes {count}"
