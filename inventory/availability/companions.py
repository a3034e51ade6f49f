"""What must go with the tyres of a need: read once for all needs, settled for each."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from typing import Any

from inventory.availability.values import CompanionFact, Need
from inventory.ground.together import Asked
from inventory.models.companion import Need as Word
from inventory.models.sku import SkuKind
from inventory.sets.recipe import Companion, RecipePlace, Sku

# Two halves, each by an index of its own: joined by OR, every row would be held against every tyre.
_RULES = """
SELECT t.id, c.companion_id, k.code, k.name, k.kind, k.price, k.currency,
    c.need, c.rim_kind, c.valve, c.per_tyre, c.source, c.tyre_id IS NOT NULL
FROM inventory_sku t
CROSS JOIN LATERAL (
    SELECT * FROM inventory_companion WHERE tyre_id = t.id
    UNION ALL SELECT * FROM inventory_companion WHERE size_key = ANY(t.size_keys)
) c
JOIN inventory_sku k ON k.id = c.companion_id
WHERE t.id = ANY(%s::bigint[])
ORDER BY t.id, k.code, c.tyre_id IS NULL, c.rim_kind = '', c.valve, c.id
"""


@dataclass(frozen=True, slots=True)
class Rule:
    """One row: for this tyre, on such a rim with such a valve, that companion."""

    tyre_id: int
    companion_id: int
    code: str
    name: str
    kind: str
    price: Decimal | None
    currency: str
    need: str
    rim_kind: str
    valve: str
    per_tyre: int
    source: str
    for_this_tyre: bool


Rules = Mapping[int, list[Rule]]
"""By tyre; of one companion the row that speaks most closely comes first."""


def rules_for(tyres: Collection[int]) -> Rules:
    """Every companion row of these tyre SKUs, their own and their sizes', in one query."""
    return rules_asked(tyres).answer()


def rules_asked(tyres: Collection[int]) -> Asked[Rules]:
    """The same question, to be sent with others."""
    return Asked(_RULES, [list(tyres)], _rules_by_tyre)


def _rules_by_tyre(rows: list[Any]) -> Rules:
    rules = [Rule(*row) for row in rows]
    return {tyre: list(group) for tyre, group in groupby(rules, key=lambda rule: rule.tyre_id)}


@dataclass(frozen=True, slots=True)
class Settled:
    """The companions of one need: for the recipe, for the answer, and the rules behind them."""

    for_recipe: tuple[Companion, ...]
    facts: tuple[CompanionFact, ...]
    musts: tuple[tuple[Rule, int], ...]  # how many of each a set takes


def settled(need: Need, rules: Rules, free: Mapping[Sku, int]) -> Settled:
    """What goes with one set of this need.

    The tyre's own row goes before its size's, one for this kind of rim before one for any. Of
    several tubes (or tapes, or valves) that would do, a set takes the one of which most are free.
    """
    wanted: list[Companion] = []
    told: dict[int, tuple[Rule, int]] = {}
    for place in need.recipe.places:
        for rule in _for_place(need, place, rules, free):
            pieces = 0 if rule.need == Word.MUST_NOT else rule.per_tyre * place.tyres
            told[rule.companion_id] = (rule, told.get(rule.companion_id, (rule, 0))[1] + pieces)
            if pieces:
                must = rule.need == Word.MUST
                wanted.append(Companion(rule.companion_id, rule.per_tyre, must, (place.name,)))
    return Settled(
        tuple(wanted),
        tuple(_fact(rule, pieces, free) for rule, pieces in told.values()),
        tuple(pair for pair in told.values() if pair[0].need == Word.MUST),
    )


def _for_place(
    need: Need, place: RecipePlace, rules: Rules, free: Mapping[Sku, int]
) -> Iterator[Rule]:
    closest: dict[int, Rule] = {}
    for sku in need.recipe.skus_at(place):
        for rule in rules.get(int(sku), ()):
            if rule.rim_kind in ("", need.rim_kind) and _valve_fits(rule, need):
                closest.setdefault(rule.companion_id, rule)
    musts = [rule for rule in closest.values() if rule.need == Word.MUST]
    yield from _one_of_each_kind(musts, free)
    yield from (rule for rule in closest.values() if rule.need != Word.MUST)


def _valve_fits(rule: Rule, need: Need) -> bool:
    return not rule.valve or not need.valve or rule.valve.casefold() == need.valve.casefold()


def _one_of_each_kind(musts: Iterable[Rule], free: Mapping[Sku, int]) -> Iterator[Rule]:
    best: dict[str, Rule] = {}
    for rule in musts:
        if rule.kind == SkuKind.OTHER:
            yield rule
            continue
        known = best.setdefault(rule.kind, rule)
        if free.get(rule.companion_id, 0) > free.get(known.companion_id, 0):
            best[rule.kind] = rule
    yield from best.values()


def _fact(rule: Rule, pieces: int, free: Mapping[Sku, int]) -> CompanionFact:
    return CompanionFact(
        sku_id=rule.companion_id,
        code=rule.code,
        name=rule.name,
        kind=rule.kind,
        need=rule.need,
        per_set=pieces,
        free=free.get(rule.companion_id, 0),
        source=rule.source,
    )
