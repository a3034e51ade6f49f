"""Moving what a sheet says forward in time: whole weeks for days, whole years for seasons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any


@dataclass(frozen=True, slots=True)
class Shift:
    """How far the calendar of a sheet is moved; ``as_of``: the day for which it was written."""

    weeks: int = 0
    years: int = 0
    as_of: date | None = field(default=None, compare=False)

    @classmethod
    def between(cls, as_of: date, today: date) -> Shift:
        """From the day a sheet was written for to today: days of the week stay what they are."""
        return cls((today - as_of).days // 7, today.year - as_of.year, as_of)


NO_SHIFT = Shift()
Shifter = Callable[[Any, Shift], Any]


def day_by_weeks(value: date, shift: Shift) -> date:
    """A day moved by the whole weeks of the shift."""
    return value + timedelta(weeks=shift.weeks)


def year_by_years(value: int, shift: Shift) -> int:
    """A season moved by the whole years of the shift."""
    return value + shift.years


def day_by_years(value: date, shift: Shift) -> date:
    """A day moved by the whole years of the shift; 29 February becomes the 28th where it must."""
    try:
        return value.replace(year=value.year + shift.years)
    except ValueError:
        return value.replace(year=value.year + shift.years, day=28)
