"""Days as numbers, and the periods that history is counted in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from inventory.planning.arrays import Ints

ORIGIN = date(2000, 1, 1)
"""Day 0. Before it is below nought."""


def number(day: date) -> int:
    """A day as a number."""
    return (day - ORIGIN).days


def day_of(value: int) -> date:
    """A number as a day."""
    return ORIGIN + timedelta(days=int(value))


@dataclass(frozen=True, slots=True)
class Periods:
    """Whole periods one after the other; ``edges`` are their first days and the day after all."""

    edges: Ints

    @property
    def count(self) -> int:
        return self.edges.size - 1

    @property
    def lengths(self) -> Ints:
        return np.diff(self.edges)

    @property
    def first(self) -> date:
        return day_of(int(self.edges[0]))

    @property
    def end(self) -> date:
        """The last day."""
        return day_of(int(self.edges[-1]) - 1)

    def of(self, day: Ints) -> Ints:
        """The period of each day: below nought before the first, ``count`` after the last."""
        return np.searchsorted(self.edges, day, side="right") - 1


def months_before(today: date, count: int) -> Periods:
    """The whole months before this one, the latest last."""
    this = today.year * 12 + today.month - 1
    firsts = [_first(n) for n in range(this - count, this + 1)]
    return Periods(np.array([number(day) for day in firsts], np.int64))


def weeks_before(today: date, count: int) -> Periods:
    """The whole weeks before this one, Monday to Sunday, the latest last."""
    this = number(today - timedelta(days=today.weekday()))
    return Periods(this + 7 * np.arange(-count, 1, dtype=np.int64))


def _first(month: int) -> date:
    return date(month // 12, month % 12 + 1, 1)
