"""Lots and where they lie: few fast SKUs with many lots, many slow ones with a few."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np

from inventory.activities.lots import dated_columns
from inventory.markings import week_index
from inventory.markings.datecode.weeks import week_of
from inventory.models.customer import Customer
from inventory.models.lot import Block, Lot
from inventory.models.place import Place, Site
from inventory.models.supplier import Supplier
from tests.load.made.catalogue import Catalogue, span
from tests.load.made.copying import copy

SITES, CUSTOMERS, SUPPLIERS = 4, 500, 12
KINDS = ("goods_in", "quarantine", "despatch")
DAY = 86_400
OTHERS = 0.03
UNDATED = -1
_READ = "date_code plant week_index first_day last_day earliest latest"


@dataclass(frozen=True)
class Lots:
    """By lot (from nought, its key is one more): its SKU's key, keys of places, the day it came
    (in days since 1970), the week it was made. ``first`` is where it was put, ``last`` where it
    lies now. ``whose``: below a fiftieth a customer's, below OTHERS somebody else's."""

    sku: np.ndarray
    first: np.ndarray
    last: np.ndarray
    came: np.ndarray
    week: np.ndarray
    whose: np.ndarray

    @property
    def moved(self) -> np.ndarray:
        """Whether it was moved from goods in to a rack."""
        return self.first != self.last


def stock(rng: np.random.Generator, made: Catalogue, lots: int, by: int, at: datetime) -> Lots:
    """So many lots of these SKUs, each with a place, and a hundredth of them blocked."""
    copy(Site, "id code name kind", ((n, f"S{n}", f"Site {n}", "fixed") for n in span(SITES)))
    racks = max(24, lots // 500)
    copy(Place, "id site_id code kind walk", _places(racks))
    people = (("private", "trade", "racing")[n % 3] for n in span(CUSTOMERS))
    copy(
        Customer,
        "id kind name email telephone address note",
        ((n, kind, f"Customer {n}", "", "", "", "") for n, kind in enumerate(people, start=1)),
    )
    copy(
        Supplier,
        "id code name email telephone note",
        ((n, f"SUP{n}", f"Supplier {n}", "", "", "") for n in span(SUPPLIERS)),
    )
    drawn = _drawn(rng, len(made.size), racks, lots, at)
    columns = "mark mark_issue pattern_issue country delivery received_on unit_cost currency owner"
    rest = "owner_customer_id owner_supplier_id condition recorded_at recorded_by_id"
    copy(Lot, f"id sku_id code {_READ} {columns} {rest}", _rows(rng, made, drawn, by, at))
    blocked = np.flatnonzero(rng.random(lots) < 0.01).tolist()
    since = at - timedelta(days=5)
    reasons = ("damaged", "to_be_checked", "off_sale")
    copy(
        Block,
        "lot_id reason note placed_at placed_by_id lifted_why",
        ((n + 1, reasons[n % 3], "", since, by, "") for n in blocked),
    )
    return drawn


def _places(racks: int) -> Iterator[tuple[Any, ...]]:
    """Racks first, in every site by turns; then the other places of each site."""
    for n in span(racks):
        yield n, n % SITES + 1, f"R{n:05}", "storage", n
    for number in range(SITES * len(KINDS)):
        kind = KINDS[number // SITES]
        yield racks + 1 + number, number % SITES + 1, f"{kind}-{number % SITES + 1}", kind, 0


def _drawn(rng: np.random.Generator, skus: int, racks: int, lots: int, at: datetime) -> Lots:
    weight = rng.lognormal(0, 1, skus)
    sku = rng.choice(skus, lots, p=weight / weight.sum())
    sku[: min(skus, lots)] = rng.permutation(skus)[: min(skus, lots)]  # something of each
    today = at.date().toordinal() - date(1970, 1, 1).toordinal()
    came = np.sort(today - 10 - np.minimum(rng.exponential(600, lots).astype(int), 2200))
    rack = rng.integers(0, racks, lots) + 1
    site = rack % SITES + 1
    goods_in, quarantine = racks + site, racks + SITES + site
    last = np.where(rng.random(lots) < 0.01, quarantine, rack)
    first = np.where(rng.random(lots) < 0.25, goods_in, last)
    zero = week_index(date(1970, 1, 1))
    week = came // 7 + zero - 3 - rng.integers(0, 90, lots)
    week[rng.random(lots) < 0.03] = UNDATED
    return Lots(sku + 1, first, last, came, week, rng.random(lots))


def _dated(weeks: np.ndarray, at: datetime) -> dict[int, tuple[Any, ...]]:
    """The columns of every week that occurs, as they are read off its date code."""
    names = _READ.split()
    found: dict[int, tuple[Any, ...]] = {
        UNDATED: tuple(dated_columns("", at.date())[name] for name in names)
    }
    for week in set(weeks.tolist()) - {UNDATED}:
        year, number = week_of(date(1970, 1, 4) + timedelta(weeks=week))
        columns = dated_columns(f"{number:02}{year % 100:02}", at.date())
        assert columns["week_index"] == week
        found[week] = tuple(columns[name] for name in names)
    return found


def _rows(
    rng: np.random.Generator, made: Catalogue, lots: Lots, by: int, at: datetime
) -> Iterator[tuple[Any, ...]]:
    dated = _dated(lots.week, at)
    count = len(lots.sku)
    worn, seen = rng.random(count), rng.random(count)
    days = {day: date(1970, 1, 1) + timedelta(days=day) for day in set(lots.came.tolist())}
    columns = zip(
        lots.sku.tolist(), lots.week.tolist(), lots.came.tolist(),
        lots.whose.tolist(), worn.tolist(), seen.tolist(), strict=True,
    )  # fmt: skip
    for n, (sku, week, came, owner, condition, look) in enumerate(columns):
        mark, issue = made.mark[sku - 1], made.issue[sku - 1]
        if look < 0.03:
            mark = issue = ""
        owned = ("house", None, None)
        if owner < 0.02:
            owned = ("customer", n % CUSTOMERS + 1, None)
        elif owner < OTHERS:
            owned = ("supplier", None, n % SUPPLIERS + 1)
        yield (
            n + 1, sku, f"L{n + 1:07}", *dated[week], mark, issue, "B" if look > 0.95 else "", "",
            f"D{came}-{n % 7}", days[came], 80 + n % 120, "GBP", *owned,
            "fitted" if condition < 0.02 else "new",
            datetime(1970, 1, 1, 12, tzinfo=UTC) + timedelta(days=came), by,
        )  # fmt: skip
