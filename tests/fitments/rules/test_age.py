"""Rule 10: the actual tyre against every limit, and what the law says."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.age import judge_age
from fitments.rules.values import Condition, Made, Market, Use
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    TODAY,
    made,
    one,
    race_class,
    spot,
    terms,
    tyre,
)

# 49 CFR 574.5: week 1423 is 2 to 8 April 2023; TODAY is 23 November 2026
THREE_FIGURES = Made(date_code="143", earliest=date(1973, 3, 25), latest=date(1993, 4, 17))


def age(made_, on=None, **place):
    return judge_age(tyre(made=made_), spot(**place), on or terms())


def limit(made_, **place):
    return one(age(made_, **place), "limit")


def test_no_actual_tyre_no_age():
    assert age(None, customer_limit_months=60) == ()


def test_within_the_customers_limit():
    found = limit(made(), customer_limit_months=72)
    assert found.outcome is SUITS
    assert found.words == (
        "Made in the week to 8 April 2023, 3 years 8 months old: within the customer's limit of "
        "6 years."
    )


def test_older_than_the_limit():
    found = limit(made(), customer_limit_months=36)
    assert found.outcome is REFUSED
    assert found.words.endswith("3 years 8 months old: older than the customer's limit of 3 years.")


@pytest.mark.parametrize(
    ("on", "outcome"),
    [
        (date(2026, 3, 25), SUITS),
        (date(2026, 4, 4), CAUTION),
        (date(2026, 4, 8), CAUTION),
        (date(2026, 4, 12), REFUSED),
    ],
)
def test_at_the_edge_the_calendar_of_the_plant_is_in_doubt(on, outcome):
    found = one(age(made(), terms(on=on), customer_limit_months=36), "limit")
    assert found.outcome is outcome
    assert ("its own calendar" in found.words) is (outcome is CAUTION)


def test_a_known_plant_leaves_no_doubt():
    sure = made(earliest=date(2023, 4, 2), latest=date(2023, 4, 8))
    assert (
        one(age(sure, terms(on=date(2026, 4, 8)), customer_limit_months=36)[:1], "limit").outcome
        is SUITS
    )


def test_every_limit_is_asked():
    found = age(made(), customer_limit_months=72, house_limit_months=36)
    assert [each.outcome for each in found if each.point == "limit"] == [SUITS, REFUSED]
    assert "the house's limit of 3 years" in found[1].words


def test_the_organisers_limit_is_asked_on_the_track_only():
    ran = race_class(age_limit_months=36)
    assert "list" not in [each.point for each in age(made(), competition_class=ran)]
    found = one(age(made(), terms(Use.TRACK), competition_class=ran), "list")
    assert found.outcome is REFUSED
    assert "the limit of Aldermoor Racing Circle 2026, touring cars, 3 years" in found.words


def test_no_limit_asked_for():
    found = limit(made())
    assert (found.outcome, "3 years 8 months old" in found.words) == (SUITS, True)
    assert limit(Made()).outcome is SUITS


def test_no_date_code_against_a_limit():
    found = limit(Made(), customer_limit_months=72)
    assert found.outcome is CANNOT_TELL
    assert "date code" in found.look_at


@pytest.mark.parametrize(
    ("months", "outcome"), [(12 * 20, REFUSED), (12 * 40, CANNOT_TELL), (12 * 60, SUITS)]
)
def test_three_figures_leave_the_decade_open(months, outcome):
    found = limit(THREE_FIGURES, customer_limit_months=months)
    assert found.outcome is outcome
    assert "between 25 March 1973 and 17 April 1993" in found.words


@pytest.mark.parametrize(
    ("allowed", "outcome"), [(True, SUITS), (False, REFUSED), (None, CANNOT_TELL)]
)
def test_buffing_by_the_organisers_rules(allowed, outcome):
    ran = race_class(buffing_allowed=allowed)
    buffed = made(condition=Condition.BUFFED)
    found = age(buffed, terms(Use.TRACK), competition_class=ran)
    assert one(found, "buffing").outcome is outcome
    as_it_came = age(made(), terms(Use.TRACK), competition_class=ran)
    assert "buffing" not in [each.point for each in as_it_came]


def test_a_limit_below_nought_is_none():
    assert "no age limit was asked for" in limit(made(), customer_limit_months=-1).words


def test_a_limit_beyond_the_calendar():
    assert limit(made(), customer_limit_months=12 * 5000).outcome is SUITS


def test_the_law_for_cars():
    gb = one(age(made()), "law")
    assert gb.outcome is SUITS
    assert "sets no limit to the age of a tyre" in gb.words
    assert "SI 2020/1178" in gb.source
    assert one(age(made(), terms(market=Market.EU)), "law").outcome is CANNOT_TELL


def test_today_is_the_day_it_leaves():
    assert terms().on == TODAY
