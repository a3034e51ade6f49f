"""What sets usually cost, whichever lots are chosen: for many sets of which few are looked at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from typing import Any, NamedTuple

from inventory.availability.companions import Rule, settled
from inventory.availability.shelf import LAPSED, TO_PROMISE
from inventory.availability.values import PROMISED_FROM, Need
from inventory.ground.prepared import prepared_cursor
from inventory.models.companion import Need as Word
from inventory.sets.recipe import Recipe, RecipePlace
from inventory.sets.recipe import Sku as Key

# As for each tyre by itself (`companions`), but the rows of a size are read once for all of it.
_RULES = """
SELECT coalesce(c.tyre_id, 0), c.companion_id, k.code, k.name, k.kind, k.price, k.currency,
    c.need, c.rim_kind, c.valve, c.per_tyre, c.source, c.tyre_id IS NOT NULL, c.size_key
FROM (
    SELECT * FROM inventory_companion WHERE tyre_id = ANY(%(tyres)s::bigint[])
    UNION ALL SELECT * FROM inventory_companion WHERE size_key = ANY(%(keys)s::text[])
) c
JOIN inventory_sku k ON k.id = c.companion_id
ORDER BY k.code, c.tyre_id IS NULL, c.rim_kind = '', c.valve, c.id
"""


_SUMS = """
SELECT l.sku_id, sum(b.on_hand - b.held + coalesce(x.held, 0))
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id
JOIN inventory_place p ON p.id = b.place_id
{lapsed}
WHERE l.sku_id = ANY(%(skus)s::bigint[])
    AND (%(site)s::bigint IS NULL OR p.site_id = %(site)s::bigint) {narrowed}
GROUP BY l.sku_id
"""
_FREE = _SUMS.format(lapsed=LAPSED, narrowed=TO_PROMISE)


class Part(NamedTuple):
    """So many pieces at a price."""

    price: Decimal | None
    currency: str
    pieces: int


class PlaceOf(NamedTuple):
    """A place of a set: its name, the SKUs that would do, and how many it takes."""

    name: str
    skus: tuple[int, ...]
    tyres: int


def amount(parts: Iterable[Part]) -> Decimal | None:
    """The sum; None where a price is not known, or in several currencies."""
    total, currencies = Decimal(0), set()
    for price, currency, pieces in parts:
        if price is None:
            return None
        total += price * pieces
        currencies.add(currency)
    return None if len(currencies) > 1 else total


class Musts:
    """What must go with tyres, by what is free now; of tyres with the same rows, worked out once.

    ``tyres``: the search keys of the size of each SKU. Two queries, whatever their number, and one
    where nothing has to be chosen by what is free.
    """

    def __init__(
        self, tyres: Mapping[int, Iterable[str]], *, at: datetime, site_id: int | None = None
    ) -> None:
        self._sizes = {sku: frozenset(keys) for sku, keys in tyres.items()}
        self._site_id = site_id
        keys = sorted(frozenset[str]().union(*self._sizes.values()))
        with prepared_cursor() as cursor:
            cursor.execute(_RULES, {"tyres": sorted(tyres), "keys": keys})
            rows = cursor.fetchall()
        self._rules = [(Rule(*row[:13]), row[13]) for row in rows]
        self._own = {rule.tyre_id for rule, key in self._rules if not key}
        self._lists: dict[object, list[Rule]] = {}
        self._free = _free(self._competing(), at, site_id)
        self._known: dict[object, tuple[Part, ...]] = {}

    def of(self, places: Sequence[PlaceOf], rim_kind: str) -> tuple[Part, ...]:
        """What a set of these places takes besides its tyres."""
        kinds = [(place.name, tuple(map(self._kind, place.skus)), place.tyres) for place in places]
        kind = rim_kind, *kinds
        known = self._known.get(kind)
        if known is None:
            known = self._known[kind] = self._parts(places, rim_kind)
        return known

    def _kind(self, sku: int) -> object:
        """What tells the rows of a tyre from those of others."""
        return sku if sku in self._own else self._sizes[sku]

    def _rules_of(self, sku: int) -> list[Rule]:
        kind = self._kind(sku)
        known = self._lists.get(kind)
        if known is None:
            keys = self._sizes[sku]
            known = self._lists[kind] = [
                rule for rule, key in self._rules if (key in keys if key else rule.tyre_id == sku)
            ]
        return known

    def _parts(self, places: Sequence[PlaceOf], rim_kind: str) -> tuple[Part, ...]:
        recipe = Recipe(
            tuple(RecipePlace(one.name, skus=one.skus, count=one.tyres) for one in places)
        )
        rules = {sku: self._rules_of(sku) for one in places for sku in one.skus}
        need = Need(None, recipe, self._site_id, rim_kind=rim_kind)
        musts = settled(need, rules, self._free).musts
        return tuple(Part(rule.price, rule.currency, pieces) for rule, pieces in musts)

    def _competing(self) -> list[int]:
        """The companions of which a set takes the one or the other, as many as are free."""
        musts = [rule for rule, _ in self._rules if rule.need == Word.MUST]
        found: list[int] = []
        for _, some in groupby(sorted(musts, key=_by_kind), key=_by_kind):
            keys = {rule.companion_id for rule in some}
            found += sorted(keys) if len(keys) > 1 else []
        return found


def _by_kind(rule: Rule) -> str:
    return rule.kind


def _free(skus: list[int], at: datetime, site_id: int | None) -> Mapping[Key, int]:
    """How many pieces of each are free, in one site or in all."""
    if not skus:
        return {}
    asked: dict[str, Any] = {"skus": skus, "kinds": list(PROMISED_FROM), "site": site_id, "at": at}
    with prepared_cursor() as cursor:
        cursor.execute(_FREE, asked)
        return {sku: int(free) for sku, free in cursor.fetchall()}
