"""Which tyres a hold is of: the lots that were shown, or the best set there is. Under locks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from inventory.activities.holding.parts import Part, merged, parts_of
from inventory.activities.holding.refusals import NoSet, NotAsShown, NotEnough
from inventory.activities.picking.matching import Part as Placed
from inventory.activities.picking.matching import Shelf, faults_in
from inventory.availability import Need, SetAnswer, ShelfLot, prospects
from inventory.availability.companions import rules_for
from inventory.availability.handed import as_one, hands_of_one
from inventory.availability.promising import tyre_facts
from inventory.availability.shelf import everything_of, promised_of
from inventory.models.companion import Need as Word
from inventory.models.sku import Sku


@dataclass(frozen=True, slots=True)
class Chosen:
    """One set with its companions, and the answer it is from."""

    answer: SetAnswer
    tyres: tuple[Part, ...]
    companions: tuple[Part, ...]

    @property
    def parts(self) -> tuple[Part, ...]:
        """All that is held."""
        return self.tyres + self.companions


def asked_skus(needs: Iterable[Need]) -> set[int]:
    """Every SKU that sets of these needs may be made of, companions among them: what to lock."""
    recipes = [need.recipe for need in needs]
    tyres = {int(sku) for one in recipes for place in one.places for sku in place.skus}
    more = {int(one.sku) for recipe in recipes for one in recipe.companions}
    rules = rules_for(sorted(tyres)) if tyres else {}
    return tyres | more | {rule.companion_id for some in rules.values() for rule in some}


def choose_set(
    need: Need, *, shown: Sequence[Part] | None, other_choice: bool, at: datetime
) -> Chosen:
    """The set that was shown, or where nothing was shown (or another choice will do) the best one.

    What lies of its SKUs is locked. Raises NoSet, NotAsShown, and what `merged` raises.
    """
    (prospect,) = prospects([need], at=at)
    answer = prospect.at_hand
    best = parts_of(answer)
    tyres = best if shown is None else merged(shown)
    if tyres != best:
        wrong = _why_not(need, tyres, at=at)
        if wrong and not other_choice:
            raise NotAsShown(wrong)
        tyres = best if wrong else tyres
    if not answer.sets:
        raise NoSet(prospect.answer.reason)
    wanted = companions_of(need, answer)
    companions = [
        part for sku, count in wanted.items() for part in oldest(sku, count, need.site_id, at)
    ]
    return Chosen(answer, tyres, merged(companions))


def companions_of(need: Need, answer: SetAnswer) -> dict[int, int]:
    """How many of which companion go with one set, by SKU: those it must have."""
    wanted = {int(sku): count for sku, count in need.recipe.companions_per_set().items()}
    for fact in answer.companions:
        if fact.need == Word.MUST and fact.per_set:
            wanted[fact.sku_id] = wanted.get(fact.sku_id, 0) + fact.per_set
    return wanted


def choose_pieces(
    sku: Sku,
    quantity: int,
    *,
    site_id: int | None,
    shown: Sequence[Part] | None,
    other_choice: bool,
    at: datetime,
) -> tuple[Part, ...]:
    """So many pieces of an SKU: the lots that were shown, else the oldest, as one walks.

    What lies of it is locked. Raises NotEnough, NotAsShown.
    """
    lots = _promised([sku.pk], site_id, at)
    if shown is not None:
        named = merged(shown)
        wrong = _gone(named, lots)
        if sum(part.quantity for part in named) != quantity:
            wrong.append(f"{quantity} are asked for, and the lots named are of another number.")
        if not wrong:
            return named
        if not other_choice:
            raise NotAsShown(wrong)
    found = _take(lots, quantity)
    free = sum(lot.free for lot in lots)
    if free < quantity:
        raise NotEnough(sku, free, quantity)
    return found


def oldest(sku: int, count: int, site_id: int | None, at: datetime) -> tuple[Part, ...]:
    """So many of an SKU that may be promised, oldest first; as many as there are."""
    return _take(_promised([sku], site_id, at), count)


def _promised(skus: Sequence[int], site_id: int | None, at: datetime) -> list[ShelfLot]:
    return [lot for lot in promised_of(skus, at=at) if site_id in (None, lot.site_id)]


def _take(lots: Sequence[ShelfLot], count: int) -> tuple[Part, ...]:
    """So many of them, oldest first, undated last; as many as there are."""
    found = []
    for lot in sorted(lots, key=lambda one: (one.week is None, one.week or 0)):
        taken = min(count, lot.free)
        if taken:
            found.append(Part("", lot.lot_id, lot.place_id, taken))
            count -= taken
    return merged(found)


def _why_not(need: Need, parts: Sequence[Part], *, at: datetime) -> list[str]:
    """Why these lots cannot be the set that is asked for, a sentence each; empty where they can."""
    skus = sorted({int(sku) for place in need.recipe.places for sku in place.skus})
    lots = [lot for lot in everything_of(skus, at=at) if need.site_id in (None, lot.site_id)]
    wrong = _gone(parts, lots)
    if wrong:
        return wrong
    facts = tyre_facts(skus)
    same = hands_of_one(need.recipe, facts)
    by_key = {(lot.lot_id, lot.place_id): lot for lot in lots}
    shelf = Shelf(as_one(need.recipe, same), by_key, facts, same)
    placed = [Placed(one.for_place, (one.lot_id, one.place_id), one.quantity) for one in parts]
    return faults_in(shelf, placed)


def _gone(parts: Sequence[Part], lots: Sequence[ShelfLot]) -> list[str]:
    """Which of the parts are not to be had of these lots, a sentence each."""
    by_key: Mapping[tuple[int, int], ShelfLot] = {(lot.lot_id, lot.place_id): lot for lot in lots}
    asked: dict[tuple[int, int], int] = {}
    for part in parts:
        key = (part.lot_id, part.place_id)
        asked[key] = asked.get(key, 0) + part.quantity
    return [words for key, count in asked.items() if (words := _lacks(by_key.get(key), count))]


def _lacks(lot: ShelfLot | None, asked: int) -> str:
    if lot is None:
        return "One of the lots does not lie where it was shown, or not at that site."
    if lot.free < asked:
        return f"{max(lot.free, 0)} of lot {lot.code} in {lot.place} are free, not {asked}."
    if not lot.to_sell:
        return f"Lot {lot.code} in {lot.place} may not be promised now."
    return ""
