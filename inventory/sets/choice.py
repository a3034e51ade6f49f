"""The best lots for one order, now."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

from inventory.sets.answer import Companions, MatchedSet
from inventory.sets.dealing import dealt
from inventory.sets.evident import evident_set
from inventory.sets.places import fewest_places
from inventory.sets.promise import Stock, companion_sets
from inventory.sets.reasons import explain
from inventory.sets.recipe import Lot, Recipe
from inventory.sets.slack import younger_in_fewer_places
from inventory.sets.structure import problem
from inventory.sets.whole import oldest_of_all


@dataclass(frozen=True, slots=True)
class Pick:
    """Tyres to take from one lot, where it stands."""

    walk: int
    place: str
    lot: Hashable
    quantity: int


@dataclass(frozen=True, slots=True)
class Choice:
    """The set chosen for an order; false where there is none, and then only the reason is given.

    picks: the same tyres in walking order. companions: what has to go with them.
    """

    chosen: MatchedSet
    picks: tuple[Pick, ...] = ()
    companions: Companions = ()
    reason: str = ""

    def __bool__(self) -> bool:
        return bool(self.picks)


def choose(
    recipe: Recipe,
    lots: Iterable[Lot],
    *,
    companions_stock: Stock | None = None,
    slack_weeks: int = 0,
) -> Choice:
    """The best set: valid, then the oldest stock (newest where preferred), then fewest places.

    Oldest is the least sum of weeks. Sets of the same age: the one from the fewest places; equal
    again: the places that come first in walking order, then lots as they were given. slack_weeks:
    how much younger, on average a tyre, a set may be if that saves places (see `slack`).
    """
    lots = list(lots)
    evident = evident_set(recipe, lots)
    if evident is not None and slack_weeks <= 0 and companion_sets(recipe, companions_stock) != 0:
        return _told(recipe, lots, evident)
    question = problem(recipe, lots)
    found = oldest_of_all(question)
    if found is None or companion_sets(recipe, companions_stock) == 0:
        return Choice(MatchedSet(()), reason=explain(recipe, lots, 0, companions_stock))
    plan, shelf, stops = fewest_places(question, found.plans)
    if slack_weeks > 0 and len(stops) > 1:
        limit = found.weeks + slack_weeks * recipe.tyres
        saved = younger_in_fewer_places(question, len(stops), limit)
        if saved is not None:
            plan, shelf, _ = saved
    return _told(recipe, lots, dealt(recipe, plan, shelf))


def _told(recipe: Recipe, lots: Iterable[Lot], chosen: MatchedSet) -> Choice:
    by_key = {lot.key: lot for lot in lots}
    picks = [
        Pick(by_key[key].walk, by_key[key].place, key, number)
        for key, number in chosen.by_lot().items()
    ]
    picks.sort(key=lambda pick: (pick.walk, pick.place))
    return Choice(chosen, tuple(picks), tuple(recipe.companions_per_set().items()))
