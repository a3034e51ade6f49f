"""Next season as the buyer sees it: days ahead, and what each counts for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.seasons import Seasons


@dataclass(frozen=True, slots=True)
class Change:
    """From one day to another, both included, a category sells ``factor`` times as much."""

    category: int
    first: date
    last: date
    factor: float
    reason: str


def days_ahead(seasons: Seasons, changes: Iterable[Change], today: date, days: int) -> Floats:
    """Months' worth of demand from today up to each day ahead; (categories, days + 1).

    Column d is what d days count for, from today on: 0 in column 0, and 12 or so after a year.
    A change counts as much as its factor says, on top of its category's season.
    """
    month, length = _calendar(today, days)
    daily = seasons.index[:, month] / length
    for change in changes:
        first = max((change.first - today).days, 0)
        last = min((change.last - today).days + 1, days)
        if last > first:
            daily[change.category, first:last] *= max(change.factor, 0.0)
    return np.concatenate([np.zeros((len(daily), 1)), np.cumsum(daily, axis=1)], axis=1)


def plain_days_ahead(today: date, days: int) -> Floats:
    """The same without any season; (days + 1,)."""
    _, length = _calendar(today, days)
    return np.concatenate([[0.0], np.cumsum(1.0 / length)])


def _calendar(today: date, days: int) -> tuple[Ints, Floats]:
    """The month, 0 = January, and the length of the month, of each day from today on."""
    day = np.datetime64(today) + np.arange(days)
    month = day.astype("datetime64[M]")
    length = ((month + 1).astype("datetime64[D]") - month.astype("datetime64[D]")).astype(float)
    return month.astype(np.int64) % 12, length


def day(today: date, ahead: int) -> date:
    """The date so many days from today."""
    return today + timedelta(days=int(ahead))
