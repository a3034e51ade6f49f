"""What one SKU was asked for, week by week or month by month, as its forecast learns it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

import numpy as np
from django.utils import timezone

from inventory.models.sku import Sku
from inventory.reordering.books import Books, Earlier, read_books
from inventory.reordering.calendar import Periods, day_of, months_before, weeks_before
from inventory.reordering.history import history_of
from inventory.reordering.range import read_range
from inventory.reordering.sizes import of_one_size


class By(StrEnum):
    """The periods in which it is told."""

    MONTH = "month"
    WEEK = "week"


LONGEST = {By.MONTH: 60, By.WEEK: 260}
"""How many whole periods are told at the most: five years."""


@dataclass(frozen=True, slots=True)
class Span:
    """One period of one SKU, its first and last day.

    ``sold`` are pieces despatched less pieces that came back, and may be below nought; ``unmet``
    were asked for and not had though there were some, ``in_vain`` while there were none, shares of
    what was asked for by size among them. ``days_with`` had something to sell. None: no book tells
    of the period, and it counts neither as demand nor as none.
    """

    first: date
    last: date
    sold: int
    unmet: float
    in_vain: float
    days: int
    days_with: int | None

    @property
    def days_without(self) -> int | None:
        """Days with none to sell."""
        return None if self.days_with is None else self.days - self.days_with

    @property
    def not_had(self) -> float:
        """All that was asked for and not had."""
        return self.unmet + self.in_vain


def demand_of(sku: Sku, *, at: datetime, by: By, count: int | None = None) -> list[Span]:
    """The last so many whole periods, the latest first, from the first that any book tells of.

    Other books tell of months only, so weeks are this house's own. The queries are as many however
    much was sold.
    """
    today = timezone.localdate(at)
    wanted = min(count or LONGEST[by], LONGEST[by])
    periods = (weeks_before if by is By.WEEK else months_before)(today, wanted)
    only = with_its_size(sku)
    known = read_range(only)
    books = read_books(known, until=today + timedelta(days=1), only=only)
    if by is By.WEEK:
        books = replace(books, earlier=_no_months())
    row = int(known.rows(np.array([sku.pk]))[0])
    return _told(books, periods, row, known.count)


def with_its_size(sku: Sku) -> list[int]:
    """An SKU and the others of its size, with which it shares what is asked for by size."""
    return sorted({sku.pk, *(of_one_size(sku.size_keys) if sku.size_keys else ())})


def _told(books: Books, periods: Periods, row: int, skus: int) -> list[Span]:
    found = history_of(books, periods, skus)
    spans = []
    for n, edge in enumerate(periods.edges[:-1].tolist()):
        share, days = found.on_shelf[row, n], int(periods.lengths[n])
        spans.append(
            Span(
                day_of(edge),
                day_of(edge + days - 1),
                int(found.sold[row, n]),
                round(float(found.unmet[row, n]), 2),
                round(float(found.asked_in_vain[row, n]), 2),
                days,
                None if np.isnan(share) else round(share * days),
            )
        )
    first = next((n for n, span in enumerate(spans) if span.days_with is not None), len(spans))
    return spans[first:][::-1]


def _no_months() -> Earlier:
    none, nothing = np.zeros(0, np.int64), np.zeros(0)
    return Earlier(none, none, nothing, nothing, nothing)
