"""What was sold before this system kept the books, and which fronts go with which rears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any, TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register
from inventory.models.earlier_sales import EarlierSales
from inventory.models.sku import Sku
from inventory.models.sku_pair import SkuPair


class MonthValues(TypedDict, total=False):
    """What can be said of one month of one SKU."""

    sku: Sku
    month: date
    sold: int
    asked_in_vain: int
    days_without: int
    source: str


class PairValues(TypedDict, total=False):
    """What can be said of a front and its rear."""

    front: Sku
    rear: Sku
    in_sets: int
    source: str


def _first_day(row: EarlierSales, given: Mapping[str, Any]) -> Iterator[Fault]:
    if row.month is not None and row.month.day != 1:
        yield Fault("month", "A month is told by its first day.")


EARLIER = Register(EarlierSales, key=("sku", "month"), derive=_first_day)
PAIRS = Register(SkuPair, key=("front",))


def make_month(*, by: User, at: datetime, **values: Unpack[MonthValues]) -> EarlierSales:
    """Enter one month of one SKU. Raises Faulty."""
    return EARLIER.make(values, by=by, at=at)


def change_month(
    *, entry: EarlierSales, by: User, at: datetime, **values: Unpack[MonthValues]
) -> EarlierSales:
    """Change what is given of one month. Raises Faulty."""
    return EARLIER.change(entry, values, by=by, at=at)


def make_pair(*, by: User, at: datetime, **values: Unpack[PairValues]) -> SkuPair:
    """Say that a front and a rear go out together. Raises Faulty."""
    return PAIRS.make(values, by=by, at=at)


def change_pair(*, pair: SkuPair, by: User, at: datetime, **values: Unpack[PairValues]) -> SkuPair:
    """Change what is given of a pair. Raises Faulty."""
    return PAIRS.change(pair, values, by=by, at=at)
