"""The alerts of a night, as they are kept: one a SKU, with everything that is shown of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np

from inventory.models.supplier_terms import ProductionBatch
from inventory.planning import NEVER, AlertLine, cover, lines_of
from inventory.planning.arrays import Ints
from inventory.reordering.course import courses
from inventory.reordering.outlook import Outlook
from inventory.reordering.range import CATEGORIES, Pair, pair_of
from inventory.reordering.telling import told


@dataclass(frozen=True, slots=True)
class Noted:
    """One alert. ``told`` is the whole line; ``supplier_id`` and ``batch_id`` may be None."""

    sku_id: int
    category: str
    cause: str
    supplier_id: int | None
    batch_id: int | None
    first_risk: date
    order_by: date | None
    free: int
    need: int
    pieces: int
    cost: Decimal | None
    currency: str
    sentence: str
    told: dict[str, Any]


def at_risk(found: Outlook) -> Ints:
    """The rows of SKUs that are made, in trade here, and whose stock may not last.

    In trade: something is written down of it, it is there or on order, or a supplier sells it. What
    only stands in the catalogue is nobody's to run out of.
    """
    situation = found.situation
    projected = cover(situation.position, service=situation.house.service)
    shelf = situation.position.shelf
    traded = ~np.isnan(found.history.on_shelf).all(axis=1) | (found.suppliers.supplier > 0)
    traded |= (shelf.on_hand > 0) | (shelf.kept_out > 0)
    traded[situation.position.coming.sku] = True
    return np.flatnonzero(found.known.made & traded & (projected.first_risk != NEVER))


Matched = Callable[[Sequence[Pair]], Mapping[Pair, int]]
"""Complete sets of fronts with their rears; those that cannot be told are left out."""


def by_number(pairs: Sequence[Pair]) -> Mapping[Pair, int]:
    """Nothing is told: sets are counted by the number of their pieces."""
    return {}


def notes(found: Outlook, matched: Matched = by_number) -> list[Noted]:
    """Every alert, the most urgent first. One query, for the numbers of the batches, and those of
    ``matched``."""
    rows = at_risk(found)
    found = _with_sets(found, rows, matched)
    lines = lines_of(found.situation, rows)
    drawn = courses(found.situation, rows)
    course = {int(row): one for row, one in zip(rows, drawn, strict=True)}
    batches = {
        (supplier, code): pk
        for pk, supplier, code in ProductionBatch.objects.order_by("pk").values_list(
            "pk", "supplier_id", "code"
        )
    }
    return [_noted(found, line, course[line.row], batches) for line in lines]


def _with_sets(found: Outlook, rows: Ints, matched: Matched) -> Outlook:
    """The same, told how many sets those at risk make with their mates."""
    pairs = {int(row): pair_of(found.known, int(row)) for row in rows}
    asked = {row: pair for row, pair in pairs.items() if pair is not None}
    told = matched(sorted(set(asked.values())))
    sets = {row: told[pair] for row, pair in asked.items() if pair in told}
    return replace(found, situation=replace(found.situation, sets=sets))


def _noted(
    found: Outlook, line: AlertLine, course: dict[str, Any], batches: dict[tuple[int, str], int]
) -> Noted:
    row = line.row
    supplier = int(found.suppliers.supplier[row]) or None
    cost = line.money.cost
    return Noted(
        sku_id=int(found.known.pk[row]),
        category=CATEGORIES[int(found.known.category[row])].value,
        cause=line.cause.name.lower(),
        supplier_id=supplier,
        batch_id=batches.get((supplier or 0, line.order_by.batch)),
        first_risk=line.first_risk,
        order_by=line.order_by.day,
        free=line.shelf.free,
        need=line.order.need,
        pieces=line.order.pieces,
        cost=None if cost is None else Decimal(cost).quantize(Decimal("0.01")),
        currency=found.suppliers.currency[row] if cost is not None else "",
        sentence=line.sentence,
        told={**told(line), "course": course},
    )
