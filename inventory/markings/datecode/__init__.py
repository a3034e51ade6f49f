"""Date codes of tyres, by the calendar of the US identification rule."""

from __future__ import annotations

from inventory.markings.datecode.age import Age, oldest_allowed_week
from inventory.markings.datecode.model import NO_DATE, DateCode, UnreadableDateCode
from inventory.markings.datecode.reading import read_date_code
from inventory.markings.datecode.weeks import (
    first_day_of_week,
    week_index,
    week_of,
    weeks_in_year,
)

__all__ = [
    "NO_DATE",
    "Age",
    "DateCode",
    "UnreadableDateCode",
    "first_day_of_week",
    "oldest_allowed_week",
    "read_date_code",
    "week_index",
    "week_of",
    "weeks_in_year",
]
