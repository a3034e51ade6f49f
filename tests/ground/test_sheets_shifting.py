"""Moving the calendar of a sheet."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.ground.sheets.shifting import (
    NO_SHIFT,
    Shift,
    day_by_weeks,
    day_by_years,
    year_by_years,
)

AS_OF = date(2026, 11, 23)


@pytest.mark.parametrize(
    ("today", "shift"),
    [
        (AS_OF, NO_SHIFT),
        (date(2026, 11, 29), NO_SHIFT),
        (date(2026, 11, 30), Shift(1, 0)),
        (date(2027, 1, 4), Shift(6, 1)),
        (date(2026, 11, 16), Shift(-1, 0)),
        (date(2028, 11, 23), Shift(104, 2)),
    ],
)
def test_the_shift_between_two_days(today, shift):
    assert Shift.between(AS_OF, today) == shift


@given(st.dates(date(1950, 1, 1), date(2080, 1, 1)), st.integers(-500, 500))
def test_a_day_keeps_its_day_of_the_week(day, weeks):
    moved = day_by_weeks(day, Shift(weeks=weeks))
    assert moved.weekday() == day.weekday()
    assert (moved - day).days == 7 * weeks


def test_years():
    assert year_by_years(2026, Shift(years=2)) == 2028
    assert day_by_years(date(2025, 12, 31), Shift(years=1)) == date(2026, 12, 31)
    assert day_by_years(date(2024, 2, 29), Shift(years=1)) == date(2025, 2, 28)
    assert day_by_years(date(2024, 2, 29), Shift(years=4)) == date(2028, 2, 29)
