"""Date codes against the US tyre identification rule, 49 CFR 574.5, and against ISO 8601.

Week 01 is the first full calendar week (a vehicle owner's manual of 2006, tyre-marking page);
weeks from Sunday to Saturday, and the regulation's own example 0109 = 4 to 10 January 2009, are
from memory. The days in the data are computed from that rule.
"""

import csv
from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest

from inventory.markings.datecode import (
    UnreadableDateCode,
    first_day_of_week,
    oldest_allowed_week,
    read_date_code,
    week_of,
    weeks_in_year,
)

DATA = Path(__file__).parent / "data"


def rows(name):
    return list(csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()))


LATER = date(2030, 1, 1)


@pytest.mark.parametrize("row", rows("tin_week_examples.csv"), ids=lambda row: row["date_code"])
def test_week_examples(row):
    week, year = int(row["week"]), int(row["year"])
    if not 1 <= week <= 53:
        with pytest.raises(UnreadableDateCode):
            read_date_code(row["date_code"], LATER)
        return
    code = read_date_code(row["date_code"], LATER)
    assert (code.year, code.week) == (year, week)
    if row["valid_by_rule"] == "1":
        assert code.warnings == ()
        assert code.first_day == date.fromisoformat(row["first_day_sunday"])
        assert code.last_day == date.fromisoformat(row["last_day_saturday"])
    else:
        assert f"{year} had 52 weeks" in code.warnings[0]


@pytest.mark.parametrize("row", rows("tin_vs_iso.csv"), ids=lambda row: row["date"])
def test_against_iso(row):
    day = date.fromisoformat(row["date"])
    year, week = week_of(day)
    assert (f"{week:02}{year % 100:02}", year) == (row["tin_date_code"], int(row["tin_year"]))
    iso = day.isocalendar()
    assert f"{iso.year}-W{iso.week:02}" == row["iso_year_week"]


def test_years_of_53_weeks():
    long_years = [year for year in range(2000, 2051) if weeks_in_year(year) == 53]
    assert long_years == [2000, 2006, 2012, 2017, 2023, 2028, 2034, 2040, 2045]
    iso = [y for y in range(2000, 2051) if date(y, 12, 28).isocalendar().week == 53]
    assert not set(long_years) & set(iso)


def test_how_many_days_carry_the_same_number_in_both():
    """Computed: 8,373 of the 18,628 days of 2000 to 2050."""
    start, end = date(2000, 1, 1).toordinal(), date(2050, 12, 31).toordinal()
    days = [date.fromordinal(n) for n in range(start, end + 1)]
    same = sum(week_of(day) == day.isocalendar()[:2] for day in days)
    assert (len(days), same) == (18_628, 8_373)


def test_the_regulations_own_example():
    assert first_day_of_week(2009, 1) == date(2009, 1, 4)


def test_how_many_1970s_codes_also_read_as_week_and_year():
    """Day, week and one year figure as the last four symbols: nhtsa.gov/node/67611 (1973).

    Computed: of the 3,710 such codes 706 also read as a week of 2000 to 2026, 24 more of 1999.
    """
    codes = [f"{d}{w:02}{y}" for d in range(1, 8) for w in range(1, 54) for y in range(10)]
    years = []
    for code in codes:
        with suppress(UnreadableDateCode):
            years.append(read_date_code(code, date(2026, 12, 31)).year)
    assert (len(codes), sum(year >= 2000 for year in years), years.count(1999)) == (3_710, 706, 24)


@pytest.mark.parametrize(
    ("code", "years", "months"), [("0123", 3, 2), ("0121", 5, 2), ("0120", 6, 2), ("0116", 10, 2)]
)
def test_ages_on_1_march_2026(code, years, months):
    age = read_date_code(code, date(2026, 3, 1)).age_on(date(2026, 3, 1))
    assert (age.years, age.months) == (years, months)


@pytest.mark.parametrize(
    ("code", "limit_years", "within"),
    [
        ("0123", 5, True),
        ("0121", 5, False),
        ("0121", 6, True),
        ("0120", 6, False),
        ("0120", 10, True),
        ("0116", 10, False),
    ],
)
def test_trade_limits_on_1_march_2026(code, limit_years, within):
    """5, 6 and 10 years: trade bodies' advice as collected by ETRMA, 12 December 2008."""
    oldest = oldest_allowed_week(limit_years=limit_years, on=date(2026, 3, 1))
    assert (read_date_code(code, date(2026, 3, 1)).week_index >= oldest) is within
