"""What suppliers ask for each SKU, and the batches in which it is made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.breaks import Prices
from inventory.planning.supply import ANY_TIME, Batch, Terms
from inventory.reordering.columns import columns_of, rows_of
from inventory.reordering.range import Range

NO_SUPPLIER = 0
REMEMBERED = timedelta(days=400)
"""How long ago a cut-off may have passed to be told still."""

# Of several suppliers the cheapest for a small order, then the quickest.
_TERMS = """
SELECT DISTINCT ON (t.sku_id) t.sku_id AS sku, t.id AS terms, t.supplier_id AS supplier,
    t.lead_time_days AS lead, t.lead_time_spread_days AS spread, t.minimum, t.pack,
    coalesce(b.unit_price, -1) AS price
FROM inventory_supplierterms t
LEFT JOIN LATERAL (
    SELECT x.unit_price FROM inventory_pricebreak x WHERE x.terms_id = t.id
    ORDER BY x.from_quantity LIMIT 1
) b ON true
WHERE %(only)s::bigint[] IS NULL OR t.sku_id = ANY(%(only)s)
ORDER BY t.sku_id, b.unit_price NULLS LAST, t.lead_time_days, t.id
"""
_CURRENCIES = "SELECT t.id, t.currency FROM inventory_supplierterms t WHERE t.currency <> 'GBP'"
_BREAKS = """
SELECT b.terms_id AS terms, b.from_quantity AS start, b.unit_price AS each
FROM inventory_pricebreak b JOIN inventory_supplierterms t ON t.id = b.terms_id
WHERE %(only)s::bigint[] IS NULL OR t.sku_id = ANY(%(only)s)
ORDER BY b.terms_id, b.from_quantity
"""
_BATCHES = """
SELECT b.id, b.supplier_id, b.code, b.order_by, b.ready_on, b.minimum_tyres,
    EXISTS (SELECT FROM inventory_productionbatch_skus n WHERE n.productionbatch_id = b.id)
FROM inventory_productionbatch b WHERE b.order_by >= %(since)s ORDER BY b.ready_on, b.id
"""
_MADE = """
SELECT n.productionbatch_id AS batch, n.sku_id AS sku FROM inventory_productionbatch_skus n
JOIN inventory_productionbatch b ON b.id = n.productionbatch_id WHERE b.order_by >= %(since)s
"""


@dataclass(frozen=True, slots=True)
class Run:
    """A batch by its own number and that of its supplier; ``minimum`` over all its SKUs."""

    pk: int
    supplier: int
    batch: Batch
    minimum: int


@dataclass(frozen=True, slots=True)
class Suppliers:
    """What is asked, one entry a SKU: ``supplier`` 0 where there are no terms, ``cost`` of a piece
    NaN where no price is told, ``currency`` "" likewise. ``runs`` are those of ``calendars``, one
    after the other; ``prices`` has the breaks by row."""

    terms: Terms
    supplier: Ints
    cost: Floats
    currency: Sequence[str]
    calendars: list[list[Batch]]
    runs: list[Run]
    prices: Mapping[int, Prices]


def read_suppliers(known: Range, *, today: date) -> Suppliers:
    """The terms of each SKU from the supplier that is cheapest, and its batches. Five queries."""
    names = ("sku", "terms", "supplier", "lead", "spread", "minimum", "pack")
    found = columns_of(_TERMS, {"only": known.only}, {**dict.fromkeys(names, "i8"), "price": "f8"})
    row = known.rows(found["sku"])
    mine = row >= 0
    row = row[mine]

    def spread(name: str, absent: float) -> Ints:
        values = np.full(known.count, absent, found[name].dtype)
        values[row] = found[name][mine]
        return values

    supplier, price = spread("supplier", NO_SUPPLIER), spread("price", -1.0).astype(float)
    cost = np.where(price < 0, np.nan, price)
    calendars, runs, calendar = _calendars(known, supplier, today)
    lead, late = spread("lead", -1), spread("spread", 0)
    terms = Terms(lead, late, spread("minimum", 1), spread("pack", 1), calendar)
    currency = _currencies(known, spread("terms", 0), cost)
    return Suppliers(
        terms, supplier, cost, currency, calendars, runs, _Prices(known, spread("terms", 0))
    )


def _currencies(known: Range, terms: Ints, cost: Floats) -> list[str]:
    other = dict(rows_of(_CURRENCIES, {}))
    return [
        "" if price != price else other.get(one, "GBP")
        for one, price in zip(terms.tolist(), cost.tolist(), strict=True)
    ]


class _Prices(Mapping[int, Prices]):
    """The price breaks of each row whose price changes with the quantity, made when asked for."""

    def __init__(self, known: Range, terms: Ints) -> None:
        found = columns_of(
            _BREAKS, {"only": known.only}, {"terms": "i8", "start": "i8", "each": "f8"}
        )
        self._start, self._each = found["start"], found["each"]
        lowest = np.searchsorted(found["terms"], terms, "left")
        end = np.searchsorted(found["terms"], terms, "right")
        self._span = {
            int(row): (int(lowest[row]), int(end[row]))
            for row in np.flatnonzero((end - lowest > 1) & (terms > 0))
        }

    def __getitem__(self, row: int) -> Prices:
        start, end = self._span[row]
        return Prices(self._start[start:end].tolist(), self._each[start:end].tolist())

    def __iter__(self) -> Iterator[int]:
        return iter(self._span)

    def __len__(self) -> int:
        return len(self._span)


def _calendars(
    known: Range, supplier: Ints, today: date
) -> tuple[list[list[Batch]], list[Run], Ints]:
    """Batches that are made of the same SKUs together, and which of them each SKU waits for."""
    given = {"since": today - REMEMBERED}
    batches = rows_of(_BATCHES, given)
    for_all: dict[int, list[int]] = defaultdict(list)
    for n, (_, by, *_rest, named) in enumerate(batches):
        if not named:
            for_all[by].append(n)
    own = _named(known, given, {one[0]: n for n, one in enumerate(batches)})
    keys: dict[tuple[int, ...], int] = {}
    calendar = np.full(known.count, ANY_TIME)
    waiting = np.isin(supplier, list({one[1] for one in batches}))
    for row in np.flatnonzero(waiting).tolist():
        by = int(supplier[row])
        mine = [n for n in own.get(row, ()) if batches[n][1] == by]
        key = tuple(sorted({*for_all.get(by, ()), *mine}))
        if key:
            calendar[row] = keys.setdefault(key, len(keys))
    calendars, runs = [], []
    for key in keys:
        some = [_run(batches[n]) for n in key]
        calendars.append([run.batch for run in some])
        runs += some
    return calendars, runs, calendar


def _named(
    known: Range, given: Mapping[str, date], place: Mapping[int, int]
) -> dict[int, list[int]]:
    """The batches that name a SKU, by its row."""
    found = columns_of(_MADE, given, {"batch": "i8", "sku": "i8"})
    own: dict[int, list[int]] = defaultdict(list)
    for row, batch in zip(known.rows(found["sku"]).tolist(), found["batch"].tolist(), strict=True):
        if row >= 0:
            own[row].append(place[batch])
    return own


def _run(row: tuple[int, int, str, date, date, int, bool]) -> Run:
    return Run(row[0], row[1], Batch(row[2], row[3], row[4]), row[5])
