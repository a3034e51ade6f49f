"""Many needs answered at once: which sets can be promised, of which lots, at what price.

Counting is quick and goes first; the lots of the best set and the reasons for no more are sought
only for the needs of which somebody asks them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from django.utils.functional import cached_property

from inventory.availability.companions import Rules, Settled, rules_asked, settled
from inventory.availability.figures import stock_asked
from inventory.availability.handed import Same, TyreFact, as_one, hands_of_one, pieces_to_price
from inventory.availability.pricing import Priced, set_price
from inventory.availability.promising import fact_of, rows_as_lots, tyres_asked
from inventory.availability.shelf import (
    HELD,
    LOT,
    ON_HAND,
    PLACE,
    SITE,
    SKU,
    Row,
    shelf_lot,
    with_companions_asked,
)
from inventory.availability.values import ChosenLot, Figures, Need, Price, SetAnswer
from inventory.ground.together import Later, together
from inventory.models.sku import Sku as SkuRow
from inventory.sets.choice import choose
from inventory.sets.pieces import pieces_by_place
from inventory.sets.promise import Count, count_sets
from inventory.sets.reasons import explain
from inventory.sets.recipe import Companion, Recipe, Sku
from inventory.sets.recipe import Lot as SetLot


def promises(needs: Sequence[Need], *, at: datetime) -> list[SetAnswer]:
    """Which complete sets can be promised for each need, in the order of the needs.

    From free, house-owned, new tyres that are not blocked and lie in storage or goods in; free is
    also what was held by a hold that has run out by then. Three queries, however many needs.
    Answers of needs that share an SKU do not add up. `at` is the moment asked about: ages are those
    of its day in the shop's zone.
    """
    return [prospect.answer for prospect in prospects(needs, at=at)]


def stock_and_promises(
    skus: Collection[SkuRow], needs: Sequence[Need], *, at: datetime, site_id: int | None = None
) -> tuple[dict[int, Figures], list[SetAnswer]]:
    """The figures of `stock_of` and the answers of `promises`, read together.

    Three queries where the needs name no other SKUs than these, else four.
    """
    facts = {sku.pk: fact_of(sku) for sku in skus}
    with together():
        stock = Later(stock_asked(list(facts), at=at, site_id=site_id))
        read = _Read(needs, at, facts)
    figures = stock.told()
    shelf = _Shelf(read)
    return figures, [Prospect(need, shelf).answer for need in needs]


def prospects(needs: Sequence[Need], *, at: datetime) -> list[Prospect]:
    """The same, of which so far only the rows are read: each is worked out as far as it is asked.

    Three queries now and none later.
    """
    with together():
        read = _Read(needs, at)
    shelf = _Shelf(read)
    return [Prospect(need, shelf) for need in needs]


class _Read:
    """What is asked of the tyres of all needs, and of all that may go with them, at once."""

    def __init__(
        self, needs: Sequence[Need], at: datetime, at_hand: Mapping[int, TyreFact] | None = None
    ) -> None:
        tyres = {sku for need in needs for sku in _skus(need.recipe)}
        asked = tyres | {int(one.sku) for need in needs for one in need.recipe.companions}
        self.rules = Later(rules_asked(sorted(tyres)))
        self.rows = Later(with_companions_asked(sorted(asked), at=at))
        self._at_hand = at_hand if at_hand and asked <= at_hand.keys() else None
        self._tyres = None if self._at_hand else Later(tyres_asked(asked))

    def tyres(self) -> Mapping[int, TyreFact]:
        """What matters of each; to be called once."""
        return self._tyres.told() if self._tyres else self._at_hand or {}


class _Shelf:
    """Everything that was read, for all needs."""

    def __init__(self, read: _Read) -> None:
        self.rules: Rules = read.rules.told()
        self.tyres = read.tyres()
        self._rows: dict[int, list[Row]] = {}
        for row in read.rows.told():
            self._rows.setdefault(row[SKU], []).append(row)
        self._free: dict[tuple[int, int | None], int] = {}
        self._lots: dict[tuple[int, Sku, int | None], list[SetLot]] = {}

    def rows(self, skus: Iterable[int], site_id: int | None) -> list[Row]:
        """What lies of these SKUs in one site, or in all."""
        return [
            row
            for sku in dict.fromkeys(skus)
            for row in self._rows.get(sku, ())
            if site_id is None or row[SITE] == site_id
        ]

    def free(self, sku: int, site_id: int | None) -> int:
        """How many pieces of a SKU are free."""
        known = self._free.get((sku, site_id))
        if known is None:
            rows = self.rows([sku], site_id)
            known = self._free[sku, site_id] = sum(row[ON_HAND] - row[HELD] for row in rows)
        return known

    def lots(self, skus: Iterable[int], site_id: int | None, same: Same) -> list[SetLot]:
        """The same rows as matching sees them, hands of one build as one SKU."""
        found: list[SetLot] = []
        for sku in dict.fromkeys(skus):
            seen = (sku, same.get(sku, sku), site_id)
            known = self._lots.get(seen)
            if known is None:
                known = rows_as_lots(self.rows([sku], site_id), self.tyres[sku], same)
                self._lots[seen] = known
            found += known
        return found


class Prospect:
    """What may be promised for one need, each part of it worked out when it is first asked for."""

    def __init__(self, need: Need, shelf: _Shelf) -> None:
        self.need, self._shelf = need, shelf

    @cached_property
    def _free(self) -> dict[Sku, int]:
        """What is free of all that may go with its tyres."""
        companions = {int(one.sku) for one in self.need.recipe.companions}
        for sku in _skus(self.need.recipe):
            companions.update(rule.companion_id for rule in self._shelf.rules.get(sku, ()))
        return {sku: self._shelf.free(sku, self.need.site_id) for sku in companions}

    @cached_property
    def _companions(self) -> Settled:
        return settled(self.need, self._shelf.rules, self._free)

    @cached_property
    def _same(self) -> Same:
        return hands_of_one(self.need.recipe, self._shelf.tyres)

    @cached_property
    def _recipe(self) -> Recipe:
        recipe = as_one(self.need.recipe, self._same)
        return _with_companions(recipe, self._companions.for_recipe)

    @cached_property
    def _lots(self) -> list[SetLot]:
        return self._shelf.lots(_skus(self.need.recipe), self.need.site_id, self._same)

    @cached_property
    def count(self) -> Count:
        """How many complete sets there are, companions included, and how many at most."""
        return count_sets(self._recipe, self._lots, companions_stock=self._free)

    @cached_property
    def chosen(self) -> tuple[ChosenLot, ...]:
        """The best set as it lies; empty where there is none."""
        if not self.count.sets:
            return ()
        rows = self._shelf.rows(_skus(self.need.recipe), self.need.site_id)
        by_key = {(row[LOT], row[PLACE]): row for row in rows}
        best = choose(self._recipe, self._lots, companions_stock=self._free)
        return tuple(
            ChosenLot(entry.place, quantity, shelf_lot(by_key[key]))  # type: ignore[index]
            for entry in best.chosen.places
            for key, quantity in entry.lots
        )

    @cached_property
    def price(self) -> Price:
        """The price of the best set with what must go with it, or the reason for none."""
        return self._price(self.chosen)

    @property
    def usual_price(self) -> Price:
        """The price of a set of the first SKUs that would do, whichever lots are chosen."""
        return self._price(())

    @cached_property
    def answer(self) -> SetAnswer:
        """All of it."""
        sets = self.count.sets
        reason = explain(self._recipe, self._lots, sets, self._free, self._names())
        return replace(self.at_hand, reason=reason)

    @cached_property
    def at_hand(self) -> SetAnswer:
        """All but the reason, for whoever keeps others waiting meanwhile and needs a set."""
        return SetAnswer(
            key=self.need.key,
            sets=self.count.sets,
            bound=self.count.bound,
            reason="",
            pieces=tuple(pieces_by_place(self._recipe, self._lots).items()),
            chosen=self.chosen,
            companions=self._companions.facts,
            price=self.price,
        )

    def _names(self) -> dict[Sku, str]:
        """What people call the companions, whose SKUs are keys here."""
        asked = (int(one.sku) for one in self.need.recipe.companions)
        names: dict[Sku, str] = {sku: self._shelf.tyres[sku].code for sku in asked}
        return names | {fact.sku_id: fact.code for fact in self._companions.facts}

    def _price(self, chosen: Sequence[ChosenLot]) -> Price:
        recipe, tyres = self.need.recipe, self._shelf.tyres
        parts = [(tyres[part.lot.sku_id], part.quantity) for part in chosen]
        if not chosen:
            for place in recipe.places:
                parts += pieces_to_price(recipe, place, tyres)
        parts += [(tyres[int(sku)], count) for sku, count in recipe.companions_per_set().items()]
        return set_price(
            [Priced(tyre.code, quantity, tyre.price, tyre.currency) for tyre, quantity in parts]
            + [
                Priced(rule.code, quantity, rule.price, rule.currency)
                for rule, quantity in self._companions.musts
            ]
        )


def _with_companions(recipe: Recipe, more: Sequence[Companion]) -> Recipe:
    return replace(recipe, companions=(*recipe.companions, *more)) if more else recipe


def _skus(recipe: Recipe) -> list[int]:
    return [int(sku) for place in recipe.places for sku in place.skus]
