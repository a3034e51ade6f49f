"""Many needs answered at once: which sets can be promised, of which lots, at what price."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from inventory.availability.companions import Rules, Settled, rules_for, settled
from inventory.availability.handed import (
    Same,
    TyreFact,
    as_one,
    hands_of_one,
    pieces_to_price,
)
from inventory.availability.pricing import Priced, set_price
from inventory.availability.shelf import promised_of
from inventory.availability.values import ChosenLot, Need, Price, SetAnswer, ShelfLot
from inventory.ground.prepared import prepared_cursor
from inventory.sets.choice import choose
from inventory.sets.promise import promise
from inventory.sets.recipe import Lot as SetLot
from inventory.sets.recipe import Recipe, Sku

_SKUS = """
SELECT id, code, hand, sidewall, band_mm, price, currency,
    ROW(maker_id, pattern_id, compound_id, size, load_index, load_index_dual, speed, sidewall,
        band_mm, mark, mark_issue)::text
FROM inventory_sku WHERE id = ANY(%s::bigint[])
"""


@dataclass(frozen=True, slots=True)
class _Shelf:
    """Everything that was read, for all needs."""

    tyres: Mapping[int, TyreFact]
    rules: Rules
    lots: Mapping[int, list[ShelfLot]]  # by SKU

    def of(self, skus: Iterable[int], site_id: int | None) -> list[ShelfLot]:
        """What lies of these SKUs in one site, or in all."""
        return [
            lot
            for sku in dict.fromkeys(skus)
            for lot in self.lots.get(sku, ())
            if site_id in (None, lot.site_id)
        ]


def promises(needs: Sequence[Need], *, at: datetime) -> list[SetAnswer]:
    """Which complete sets can be promised for each need, in the order of the needs.

    From free, house-owned, new tyres that are not blocked and lie in storage or goods in; free is
    also what was held by a hold that has run out by then. Three queries, however many needs.
    Answers of needs that share an SKU do not add up. `at` is the moment asked about: ages are those
    of its day in the shop's zone.
    """
    shelf = _read(needs, at)
    return [_answer(need, shelf) for need in needs]


def mark_text(mark: str, issue: str) -> str:
    """A mark with its issue as one text, as recipes name acceptable marks; "" where none."""
    return f"{mark} issue {issue}" if issue else mark


def _read(needs: Sequence[Need], at: datetime) -> _Shelf:
    tyres = {sku for need in needs for sku in _skus(need.recipe)}
    asked = tyres | {int(one.sku) for need in needs for one in need.recipe.companions}
    rules = rules_for(sorted(tyres))
    companions = {rule.companion_id for some in rules.values() for rule in some}
    lots: dict[int, list[ShelfLot]] = {}
    for lot in promised_of(sorted(asked | companions), at=at):
        lots.setdefault(lot.sku_id, []).append(lot)
    return _Shelf(tyre_facts(asked), rules, lots)


def tyre_facts(skus: Iterable[int]) -> dict[int, TyreFact]:
    """What matters for matching and price of some SKUs, in one query."""
    with prepared_cursor() as cursor:
        cursor.execute(_SKUS, [sorted(skus)])
        return {row[0]: TyreFact(*row) for row in cursor.fetchall()}


def _skus(recipe: Recipe) -> list[int]:
    return [int(sku) for place in recipe.places for sku in place.skus]


def _answer(need: Need, shelf: _Shelf) -> SetAnswer:
    lots = shelf.of(_skus(need.recipe), need.site_id)
    free = _free_companions(need, shelf)
    companions = settled(need, shelf.rules, free)
    same = hands_of_one(need.recipe, shelf.tyres)
    recipe = replace(
        as_one(need.recipe, same),
        companions=(*need.recipe.companions, *companions.for_recipe),
    )
    values = [set_lot(lot, shelf.tyres[lot.sku_id], same) for lot in lots]
    found = promise(recipe, values, companions_stock=free)
    chosen = _chosen(recipe, values, lots, free) if found.sets else ()
    return SetAnswer(
        key=need.key,
        sets=found.sets,
        bound=found.bound,
        reason=found.reason,
        pieces=tuple(found.pieces.items()),
        chosen=chosen,
        companions=companions.facts,
        price=_price(need.recipe, chosen, companions, shelf),
    )


def _free_companions(need: Need, shelf: _Shelf) -> dict[Sku, int]:
    companions = {int(one.sku) for one in need.recipe.companions}
    for sku in _skus(need.recipe):
        companions.update(rule.companion_id for rule in shelf.rules.get(sku, ()))
    return {sku: sum(lot.free for lot in shelf.of([sku], need.site_id)) for sku in companions}


def set_lot(lot: ShelfLot, tyre: TyreFact, same: Same) -> SetLot:
    """What is free of a lot in a place, as matching sees it; its key is the two of them."""
    return SetLot(
        key=(lot.lot_id, lot.place_id),
        sku=same.get(lot.sku_id, lot.sku_id),
        week=lot.week,
        quantity=lot.free,
        delivery=lot.delivery or None,
        mark=mark_text(lot.mark, lot.mark_issue),
        pattern_issue=lot.pattern_issue,
        sidewall=f"{tyre.sidewall} {tyre.band_mm or ''}".strip(),
        side=tyre.hand or None,
        place=lot.place,
        walk=lot.rank,
    )


def _chosen(
    recipe: Recipe, values: Sequence[SetLot], lots: Sequence[ShelfLot], free: Mapping[Sku, int]
) -> tuple[ChosenLot, ...]:
    by_key = {(lot.lot_id, lot.place_id): lot for lot in lots}
    best = choose(recipe, values, companions_stock=free)
    return tuple(
        ChosenLot(entry.place, quantity, by_key[key])  # type: ignore[index]
        for entry in best.chosen.places
        for key, quantity in entry.lots
    )


def _price(
    recipe: Recipe, chosen: Sequence[ChosenLot], companions: Settled, shelf: _Shelf
) -> Price:
    tyres = [(shelf.tyres[part.lot.sku_id], part.quantity) for part in chosen]
    if not chosen:
        for place in recipe.places:
            tyres += pieces_to_price(recipe, place, shelf.tyres)
    tyres += [(shelf.tyres[int(sku)], count) for sku, count in recipe.companions_per_set().items()]
    return set_price(
        [Priced(tyre.code, quantity, tyre.price, tyre.currency) for tyre, quantity in tyres]
        + [
            Priced(rule.code, quantity, rule.price, rule.currency)
            for rule, quantity in companions.musts
        ]
    )
