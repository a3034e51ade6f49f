"""Does the set still match, and what could stand in for tyres that are not to be had?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils import timezone

from inventory.activities import recipes
from inventory.availability.handed import Same, TyreFact, as_one, hands_of_one
from inventory.availability.promising import set_lot, tyre_facts
from inventory.availability.shelf import everything_of
from inventory.availability.values import ShelfLot
from inventory.markings import oldest_allowed_week
from inventory.models.hold import Hold
from inventory.release import age_limit_of
from inventory.sets.check import check_set
from inventory.sets.recipe import Lot as SetLot
from inventory.sets.recipe import Recipe

Key = tuple[int, int]
"""A lot and a place, by their keys."""


@dataclass(frozen=True, slots=True)
class Part:
    """So many of a lot in a place, for one place on the car; "" for companions and pieces."""

    for_place: str
    key: Key
    quantity: int


@dataclass(frozen=True, slots=True)
class Shelf:
    """All that lies at one site of what a hold asks for; the recipe is None for pieces.

    oldest: the week before which no tyre is taken anew, by the age that the customer asked for, on
    the day of picking; None where none was asked for.
    """

    recipe: Recipe | None
    lots: dict[Key, ShelfLot]
    facts: dict[int, TyreFact]
    same: Same
    oldest: int | None = None

    def is_young(self, key: Key) -> bool:
        """Whether a lot is young enough today for whoever asked for it; undated it is not."""
        week = self.lots[key].week
        return self.oldest is None or (week is not None and week >= self.oldest)

    def set_lot(self, key: Key, quantity: int) -> SetLot:
        """So many of a lot as matching sees them."""
        lot = self.lots[key]
        return replace(set_lot(lot, self.facts[lot.sku_id], self.same), quantity=quantity)

    def to_be_had(self) -> Iterator[ShelfLot]:
        """What may be promised of it and is free, in walking order."""
        return (lot for lot in self.lots.values() if lot.to_sell and lot.free > 0)


@dataclass(frozen=True, slots=True)
class Gone:
    """So many tyres of a SKU that are wanted for one place on the car, and not to be had."""

    for_place: str
    sku_id: int
    quantity: int


def skus_of(hold: Hold) -> set[int]:
    """Every SKU that a hold asks for, holds, or is picked from."""
    asked = set(hold.lines.order_by("pk").values_list("lot__sku_id", flat=True))
    asked |= set(hold.pick_lines.order_by("pk").values_list("lot__sku_id", flat=True))
    if hold.recipe:
        recipe = recipes.recalled(hold.recipe)
        asked |= {int(sku) for place in recipe.places for sku in place.skus}
        asked |= {int(one.sku) for one in recipe.companions}
    return asked


def shelf_of(hold: Hold, *, site_id: int, at: datetime, keys: Iterable[Key] | None = None) -> Shelf:
    """The shelf of a site as a hold sees it; of these lots and places only, where given."""
    found = everything_of(sorted(skus_of(hold)), at=at)
    wanted = None if keys is None else set(keys)
    lots = {
        (lot.lot_id, lot.place_id): lot
        for lot in found
        if lot.site_id == site_id and (wanted is None or (lot.lot_id, lot.place_id) in wanted)
    }
    facts = tyre_facts({lot.sku_id for lot in found} | skus_of(hold))
    limit, today = age_limit_of(hold.answer), timezone.localdate(at)
    oldest = oldest_allowed_week(limit_months=limit, on=today) if limit else None
    if not hold.recipe:
        return Shelf(None, lots, facts, {}, oldest)
    asked = recipes.recalled(hold.recipe)
    same = hands_of_one(asked, facts)
    return Shelf(as_one(asked, same), lots, facts, same, oldest)


def parts_of(hold: Hold) -> list[Part]:
    """What a hold holds now, part by part."""
    rows = hold.lines.order_by("pk").values_list("for_place", "lot_id", "place_id", "quantity")
    return [Part(for_place, (lot, place), quantity) for for_place, lot, place, quantity in rows]


def faults_in(shelf: Shelf, parts: Sequence[Part]) -> list[str]:
    """What is wrong with these tyres as the set that was promised; pieces are never wrong."""
    if shelf.recipe is None:
        return []
    assignment: dict[str, list[tuple[Key, int]]] = {}
    total: dict[Key, int] = {}
    for part in parts:
        if part.for_place:
            assignment.setdefault(part.for_place, []).append((part.key, part.quantity))
            total[part.key] = total.get(part.key, 0) + part.quantity
    lots = [shelf.set_lot(key, quantity) for key, quantity in total.items()]
    return [fault[:1].upper() + fault[1:] for fault in check_set(shelf.recipe, assignment, lots)]


def without(parts: Iterable[Part], gone: Part) -> list[Part]:
    """The parts with so many fewer of one of them."""
    left = []
    for part in parts:
        if (part.for_place, part.key) == (gone.for_place, gone.key):
            part = replace(part, quantity=part.quantity - gone.quantity)
        if part.quantity > 0:
            left.append(part)
    return left
