"""Age of a tyre on a day, and an age limit turned, once, into the oldest allowed week."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from inventory.markings.datecode.weeks import week_index

__all__ = ["Age", "age_between", "oldest_allowed_week"]


@dataclass(frozen=True, slots=True)
class Age:
    """An age for reading aloud: years and months to the nearest month, and the exact days.

    A week code is not known to the day, so months are rounded. A limit is never judged by this
    but by ``oldest_allowed_week``.
    """

    years: int
    months: int
    days: int

    def __str__(self) -> str:
        parts = [_count(self.years, "year")] if self.years else []
        parts += [_count(self.months, "month")] if self.months or not self.years else []
        return " ".join(parts)


def age_between(made: date, day: date) -> Age:
    """The age on ``day`` of what was made on ``made``; nought where that day is still to come."""
    days = max((day - made).days, 0)
    months = max((day.year - made.year) * 12 + day.month - made.month, 0)
    # the whole number of months whose end lies nearest to the day; a tie goes to the older
    nearest = min(
        range(max(months - 1, 0), months + 2),
        key=lambda count: (abs((day - _add_months(made, count)).days), -count),
    )
    return Age(*divmod(nearest if days else 0, 12), days)


def oldest_allowed_week(
    *, limit_years: int | None = None, limit_months: int | None = None, on: date
) -> int:
    """The oldest week (``week_index``) whose tyres are within an age limit on a day, inclusive.

    Age counts from the last day of the week (common practice, no source), and a tyre exactly at
    its limit is still allowed: a week is allowed when its last day plus the limit is not before
    ``on``. Years and months add up. Raises ValueError where no limit, or one below nought, is
    given.
    """
    if limit_years is None and limit_months is None:
        raise ValueError("An age limit needs a number of years, of months, or both.")
    months = 12 * (limit_years or 0) + (limit_months or 0)
    if months < 0:
        raise ValueError(f"An age limit cannot be {months} months.")
    return week_index(_months_before(on, months))


def _months_before(day: date, months: int) -> date:
    """The first day that, with so many months added, is not before ``day``.

    29 February 2024 less a year is 1 March 2023: 28 February 2023 is a year old a day earlier.
    """
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    if year < 1:
        return date.min
    if day.day > monthrange(year, month + 1)[1]:
        return date(year, month + 1, monthrange(year, month + 1)[1]) + timedelta(days=1)
    return date(year, month + 1, day.day)


def _add_months(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _count(number: int, unit: str) -> str:
    return f"{number} {unit}{'' if number == 1 else 's'}"
