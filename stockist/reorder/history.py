"""The months of one SKU as they are learnt from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.utils import timezone

from inventory.reordering.books import read_books
from inventory.reordering.calendar import day_of, months_before
from inventory.reordering.history import history_of
from inventory.reordering.range import read_range

SHOWN = 24


@dataclass(frozen=True, slots=True)
class Month:
    """``without`` are days with none to sell; None: no book tells of this month."""

    first: date
    sold: int
    unmet: int
    without: int | None


def months_of(sku: int, at: datetime) -> list[Month]:
    """The last two years, the latest first, from the first month that any book tells of."""
    today = timezone.localdate(at)
    periods = months_before(today, SHOWN)
    known = read_range([sku])
    books = read_books(known, until=today, only=[sku])
    found = history_of(books, periods, known.count)
    told = []
    for n, first in enumerate(periods.edges[:-1]):
        share = found.on_shelf[0, n]
        days = int(periods.lengths[n])
        without = None if np.isnan(share) else round((1 - share) * days)
        unmet = int(found.unmet[0, n] + found.asked_in_vain[0, n])
        told.append(Month(day_of(int(first)), int(found.sold[0, n]), unmet, without))
    while told and told[0].without is None:
        told.pop(0)
    return told[::-1]
