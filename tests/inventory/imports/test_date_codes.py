"""Date codes moved with the calendar of a sheet. Weeks by the US rule, as in tests/standards."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.ground.sheets.shifting import Shift
from inventory.imports.date_codes import shifted_code
from inventory.markings.datecode import first_day_of_week, read_date_code, week_of

ON = date(2026, 11, 23)


@pytest.mark.parametrize(
    ("code", "weeks", "moved"),
    [
        ("1423", 10, "2423"),
        ("5223", 1, "5323"),  # 2023 has 53 weeks by the US rule
        ("5323", 1, "0124"),
        ("0124", -1, "5323"),
        ("5220", 1, "0121"),
        ("5299", 1, "0100"),
        ("1423", 0, "1423"),
        ("1423", 520, "1233"),
    ],
)
def test_four_figures_move_by_weeks(code, weeks, moved):
    assert shifted_code(code, ON, Shift(weeks=weeks)) == moved


@pytest.mark.parametrize(
    "code",
    ["", "234", "1471", "5226", "0000", "9923", "ABCD 1423", "unknown", "14/23", "１４２３"],
)
def test_everything_else_stays(code):
    assert shifted_code(code, ON, Shift(weeks=10)) == code


@given(st.dates(date(2000, 1, 9), date(2026, 10, 1)), st.integers(-40, 400))
def test_a_tyre_stays_as_old_as_it_was(made, weeks):
    year, week = week_of(made)
    code = f"{week:02}{year % 100:02}"
    moved = shifted_code(code, ON, Shift(weeks=weeks))
    before = first_day_of_week(year, week)
    after = read_date_code(moved, ON + timedelta(weeks=max(weeks, 0))).first_day
    if before + timedelta(weeks=weeks) >= date(2000, 1, 9):
        assert after - before == timedelta(weeks=weeks)
