"""How many complete sets can be promised now, of which lots, and why not more."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from inventory.sets.answer import MatchedSet
from inventory.sets.dealing import Shelf, dealt, lots_by_cell
from inventory.sets.eligible import excluded
from inventory.sets.pieces import pieces_by_place, sets_by_pieces
from inventory.sets.quick import lots_by_sku, quick_count
from inventory.sets.reasons import explain
from inventory.sets.recipe import Lot, Recipe, Sku
from inventory.sets.structure import problem
from inventory.sets.tree import Problem, SetPlan
from inventory.sets.whole import all_sets, count_all

Stock = Mapping[Sku, int]


@dataclass(frozen=True, slots=True)
class Promise:
    """The answer to "have you got it?".

    A promise belongs to one recipe. Promises of recipes that share an SKU do not add up.

    sets: complete sets that exist, companions included.
    blocks: those sets, the oldest lots (or the newest, where preferred) in the first ones.
    pieces: free tyres of acceptable SKUs, place by place; places sharing an SKU see the same tyres.
    naive: the sets that the pieces suggest.
    bound, exact: no more than `bound` can exist; exact where that is what was found.
    reason: why the sets are fewer than the pieces suggest, or than the best place would serve.
    left_over: usable tyres that are in none of the sets.
    excluded: lots that may not be used at all, each with the reason.
    """

    sets: int
    blocks: tuple[MatchedSet, ...]
    pieces: dict[str, int]
    naive: int
    bound: int
    reason: str
    left_over: tuple[tuple[Hashable, int], ...]
    excluded: tuple[tuple[Hashable, str], ...]

    @property
    def exact(self) -> bool:
        """Whether it is proven that there can be no more."""
        return self.sets == self.bound


def promise(
    recipe: Recipe,
    lots: Iterable[Lot],
    *,
    companions_stock: Stock | None = None,
    proof: bool = True,
) -> Promise:
    """The most complete sets that can be promised from these lots, with the reason for no more.

    lots: those of other SKUs are ignored. companions_stock: free companions by SKU; where it is
    None companions are not counted. proof: as for `count_sets`.
    """
    lots = list(lots)
    question = problem(recipe, lots)
    plans, bound = all_sets(question, proof)
    most = companion_sets(recipe, companions_stock)
    if most is not None:
        plans, bound = plans[:most], min(bound, most)
    blocks = _dealt(recipe, question, plans)
    refused = {lot.key: why for lot, why in excluded(recipe, lots)}
    pieces = pieces_by_place(recipe, lots)
    return Promise(
        sets=len(blocks),
        blocks=blocks,
        pieces=pieces,
        naive=sets_by_pieces(recipe, lots),
        bound=bound,
        reason=explain(recipe, lots, len(blocks), companions_stock),
        left_over=_left_over(recipe, lots, blocks, refused),
        excluded=tuple(refused.items()),
    )


@dataclass(frozen=True, slots=True)
class Count:
    """How many sets were found, and the bound on how many there can be."""

    sets: int
    bound: int

    @property
    def exact(self) -> bool:
        """Whether it is proven that there can be no more."""
        return self.sets == self.bound


def count_sets(
    recipe: Recipe,
    lots: Iterable[Lot],
    *,
    companions_stock: Stock | None = None,
    proof: bool = True,
) -> Count:
    """The number of a `promise` alone: no sets made, no reasons sought.

    proof: False to be content with sets that exist where the quick bound is not met; then `sets`
    may fall short, and `bound` says by how much at most. It matters only where several marks or
    SKUs may serve an axle and the car has a tolerance, or axles share an SKU but are not alike;
    there a shelf of a hundred lots may take a second to settle.
    """
    return _count(recipe, lots_by_sku(lots), companions_stock, proof)


def promise_counts(
    recipes: Iterable[Recipe],
    lots: Iterable[Lot],
    *,
    companions_stock: Stock | None = None,
    proof: bool = True,
) -> list[Count]:
    """`count_sets` for many recipes against the same shelf, each as if it were the only one."""
    lots_of = lots_by_sku(lots)
    return [_count(recipe, lots_of, companions_stock, proof) for recipe in recipes]


def _count(
    recipe: Recipe, lots_of: Mapping[Sku, Sequence[Lot]], stock: Stock | None, proof: bool
) -> Count:
    sets = bound = quick_count(recipe, lots_of)
    if sets is None or bound is None:
        sets, bound = count_all(problem(recipe, _of_skus(recipe, lots_of)), proof)
    most = companion_sets(recipe, stock)
    return Count(sets, bound) if most is None else Count(min(sets, most), min(bound, most))


def companion_sets(recipe: Recipe, stock: Stock | None) -> int | None:
    """How many sets the companions are enough for; None where nothing limits them."""
    if stock is None:
        return None
    needed = recipe.companions_per_set()
    return min((max(stock.get(sku, 0), 0) // count for sku, count in needed.items()), default=None)


def _of_skus(recipe: Recipe, by_sku: Mapping[Sku, Sequence[Lot]]) -> list[Lot]:
    skus = dict.fromkeys(sku for place in recipe.places for sku in place.skus)
    return [lot for sku in skus for lot in by_sku.get(sku, ())]


def _dealt(recipe: Recipe, question: Problem, plans: Sequence[SetPlan]) -> tuple[MatchedSet, ...]:
    streams = {stream for plan in plans for served in plan for stream, _, _ in served.takes}
    shelf = Shelf(lots_by_cell(question, sorted(streams)))
    return tuple(dealt(recipe, plan, shelf) for plan in plans)


def _left_over(
    recipe: Recipe,
    lots: Sequence[Lot],
    blocks: Iterable[MatchedSet],
    refused: Mapping[Hashable, str],
) -> tuple[tuple[Hashable, int], ...]:
    skus = {sku for place in recipe.places for sku in place.skus}
    left = {
        lot.key: lot.quantity
        for lot in lots
        if lot.sku in skus and lot.quantity > 0 and lot.key not in refused
    }
    for block in blocks:
        for key, number in block.by_lot().items():
            left[key] -= number
    return tuple((key, number) for key, number in left.items() if number)
