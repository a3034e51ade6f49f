"""Age on a day, and an age limit as the oldest allowed week."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.markings.datecode import Age, oldest_allowed_week, read_date_code, week_index
from inventory.markings.datecode.age import age_between

TODAY = date(2026, 3, 1)


@pytest.mark.parametrize(
    ("made", "on", "years", "months"),
    [
        (date(2023, 1, 7), date(2023, 1, 7), 0, 0),
        (date(2023, 1, 7), date(2023, 1, 21), 0, 0),
        (date(2023, 1, 7), date(2023, 1, 25), 0, 1),
        (date(2023, 1, 7), date(2024, 1, 6), 1, 0),
        (date(2023, 1, 31), date(2023, 2, 28), 0, 1),
        (date(2024, 2, 29), date(2025, 2, 28), 1, 0),
        (date(2016, 1, 9), date(2026, 3, 1), 10, 2),
        (date(2026, 3, 7), date(2026, 3, 1), 0, 0),  # the week is not over yet
    ],
)
def test_months_are_the_nearest(made, on, years, months):
    assert age_between(made, on) == Age(years, months, max((on - made).days, 0))


@pytest.mark.parametrize(
    ("age", "words"),
    [
        (Age(3, 2, 1150), "3 years 2 months"),
        (Age(1, 1, 400), "1 year 1 month"),
        (Age(2, 0, 730), "2 years"),
        (Age(0, 0, 3), "0 months"),
    ],
)
def test_an_age_reads_aloud(age, words):
    assert str(age) == words


def test_age_runs_from_the_last_day_or_for_at_least_from_the_first():
    code = read_date_code("0825", TODAY)  # 23 February to 1 March 2025
    assert code.age_on(TODAY).days == 365
    assert code.age_on(TODAY, at_least=True).days == 371


def test_a_limit_in_years_in_months_or_both():
    on = date(2026, 3, 1)
    assert oldest_allowed_week(limit_years=5, on=on) == week_index(date(2021, 3, 1))
    assert oldest_allowed_week(limit_months=60, on=on) == week_index(date(2021, 3, 1))
    assert oldest_allowed_week(limit_years=4, limit_months=12, on=on) == week_index(
        date(2021, 3, 1)
    )


def test_a_limit_is_inclusive():
    week = read_date_code("0821", TODAY)  # ends on Saturday 27 February 2021
    assert week.last_day == date(2021, 2, 27)
    assert oldest_allowed_week(limit_years=5, on=date(2026, 2, 27)) == week.week_index
    assert oldest_allowed_week(limit_years=5, on=date(2026, 2, 28)) == week.week_index + 1


def test_a_day_that_the_month_has_not():
    # what was made on Saturday 28 February 2009 is more than three years old on 29 February 2012
    made = date(2009, 2, 28)
    assert oldest_allowed_week(limit_years=3, on=date(2012, 2, 28)) == week_index(made)
    assert oldest_allowed_week(limit_years=3, on=date(2012, 2, 29)) == week_index(made) + 1


@pytest.mark.parametrize("limit", [{}, {"limit_years": -1}, {"limit_months": -3}])
def test_a_limit_must_be_given_and_not_below_nought(limit):
    with pytest.raises(ValueError, match="age limit"):
        oldest_allowed_week(**limit, on=TODAY)


def test_a_limit_of_centuries_allows_everything():
    assert oldest_allowed_week(limit_years=9000, on=TODAY) < week_index(date(1900, 1, 1))


def anniversary(day, months):
    """The day on which so many months are full, the last of the month where it is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in range(day.day, 27, -1):
        try:
            return date(year, month + 1, last)
        except ValueError:
            continue
    return date(year, month + 1, day.day)


@given(
    st.dates(date(1980, 1, 1), date(2060, 1, 1)),
    st.integers(0, 240),
    st.integers(-60, 60),
)
def test_a_week_is_allowed_exactly_while_its_last_day_plus_the_limit_is_not_past(on, limit, off):
    oldest = oldest_allowed_week(limit_months=limit, on=on)
    week = oldest + off
    last_day = date(1970, 1, 10) + timedelta(weeks=week)
    assert (anniversary(last_day, limit) >= on) == (week >= oldest)
