"""The week calendar of the US tyre identification rule, 49 CFR 574.5.

Week 01 begins on the first Sunday of the year (the first full week, Sunday to Saturday), and the
days before it belong to the last week of the year before. It is not the ISO 8601 calendar. That
weeks run from Sunday to Saturday is from memory; week 01 as the first full calendar week is quoted
in vehicle owners' manuals.
"""

from __future__ import annotations

from datetime import date, timedelta

__all__ = ["first_day_of_week", "week_index", "week_of", "weeks_in_year"]

_WEEK_NOUGHT = date(1970, 1, 4)  # a Sunday
_SUNDAY = 6  # date.weekday()


def weeks_in_year(year: int) -> int:
    """52, or 53 where 1 January is a Sunday, or a Saturday in a leap year."""
    return (_first_sunday(year + 1) - _first_sunday(year)).days // 7


def first_day_of_week(year: int, week: int) -> date:
    """The Sunday on which a week begins. Week 53 of a year of 52 is the week after its last.

    Raises ValueError for a week that no year has.
    """
    if not 1 <= week <= 53:
        raise ValueError(f"There is no week {week}: the weeks of a year are numbered 01 to 53.")
    return _first_sunday(year) + timedelta(weeks=week - 1)


def week_of(day: date) -> tuple[int, int]:
    """The year and week that a tyre made on this day is marked with."""
    sunday = _sunday_of(day)
    return sunday.year, (sunday.timetuple().tm_yday - 1) // 7 + 1


def week_index(day: date) -> int:
    """The day's week as a count of weeks that runs on over the years: 0 begins 4 January 1970."""
    return (day - _WEEK_NOUGHT).days // 7


def _sunday_of(day: date) -> date:
    return day - timedelta(days=(day.weekday() - _SUNDAY) % 7)


def _first_sunday(year: int) -> date:
    january = date(year, 1, 1)
    return january + timedelta(days=(_SUNDAY - january.weekday()) % 7)
