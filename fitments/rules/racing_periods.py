"""Racing and historic periods by scheme: the same letters, with other dates. Dates only suggest.

A period follows a car's specification and its papers, never its date of building alone. Each row
of ``racing_periods.csv`` has its source.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files

from fitments.rules.values import DaySpan

APPENDIX_K = "FIA Appendix K"
FIVA = "FIVA"
SCHEMES = (APPENDIX_K, FIVA)


@dataclass(frozen=True, slots=True)
class Period:
    """A letter of a scheme for a class of cars, and the days that suggest it."""

    scheme: str
    letter: str
    applies_to: str
    days: DaySpan
    source: str


@cache
def periods() -> tuple[Period, ...]:
    """Every period of every scheme, in the order of the table."""
    text = files(__package__).joinpath("racing_periods.csv").read_text(encoding="utf-8")
    return tuple(_period(row) for row in csv.DictReader(text.splitlines()))


def classes(scheme: str) -> tuple[str, ...]:
    """The classes of cars that a scheme parts its periods by; "all" stands for every one."""
    return tuple(dict.fromkeys(each.applies_to for each in periods() if each.scheme == scheme))


def period_suggestions(scheme: str, applies_to: str | None, day: date) -> tuple[Period, ...]:
    """The periods that a day suggests for a class of cars (None: any class), in table order.

    Several, where classes differ; none, where no row of the scheme has the day. Only a suggestion:
    specification and papers decide.
    """
    return tuple(
        each
        for each in periods()
        if each.scheme == scheme
        and (applies_to is None or each.applies_to in ("all", applies_to))
        and each.days.holds(day)
    )


def _period(row: dict[str, str]) -> Period:
    first, last = (date.fromisoformat(row[end]) if row[end] else None for end in ("from", "to"))
    return Period(
        row["scheme"], row["period"], row["applies_to"], DaySpan(first, last), row["source"]
    )
