"""Rule 8: the pattern, the size, and the racing period."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.period import judge_period, suggested_words
from fitments.rules.values import DaySpan, RacingPapers, Standing, Use
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    fitted,
    made,
    one,
    spot,
    terms,
    tyre,
)

YEAR = DaySpan.year(1964)
FIFTIES = DaySpan(date(1955, 1, 1), date(1959, 12, 31))


def pattern(tyre_, **place):
    return one(judge_period(tyre_, spot(**place), terms()), "pattern")


@pytest.mark.parametrize(
    ("introduced", "withdrawn", "remade", "outcome"),
    [
        (1958, None, None, SUITS),
        (1963, None, None, SUITS),
        (1964, None, None, CAUTION),
        (1965, None, None, REFUSED),
        (1950, 1963, None, CAUTION),
        (1950, 1964, None, SUITS),
        (1950, 1963, 1998, CAUTION),
        (1950, 1960, 1962, SUITS),
        (None, None, None, CANNOT_TELL),
    ],
)
def test_was_there_such_a_pattern(introduced, withdrawn, remade, outcome):
    made_then = tyre(introduced=introduced, withdrawn=withdrawn, remade_since=remade)
    assert pattern(made_then).outcome is outcome


@pytest.mark.parametrize(
    ("introduced", "built", "outcome"),
    [
        (1954, FIFTIES, SUITS),
        (1955, FIFTIES, CAUTION),
        (1957, FIFTIES, CANNOT_TELL),
        (1959, FIFTIES, CANNOT_TELL),
        (1960, FIFTIES, REFUSED),
        (1964, YEAR, CAUTION),
        (1970, DaySpan(None, date(1969, 12, 31)), REFUSED),
        (1960, DaySpan(None, date(1969, 12, 31)), CANNOT_TELL),
        (1960, DaySpan(date(1962, 1, 1), None), SUITS),
        (1970, DaySpan(date(1962, 1, 1), None), CANNOT_TELL),
        (1960, None, CANNOT_TELL),
        (1960, DaySpan(), CANNOT_TELL),
    ],
)
def test_against_a_span_of_building(introduced, built, outcome):
    assert pattern(tyre(introduced=introduced), built=built).outcome is outcome


def test_a_pattern_that_went_during_the_span_is_a_caution():
    assert pattern(tyre(introduced=1950, withdrawn=1957), built=FIFTIES).outcome is CAUTION


def test_the_words_give_both_years():
    assert pattern(tyre(introduced=1965)).words == (
        "Vale came in 1965; the car was built on 12 June 1964: there was no such tyre yet."
    )


def test_remade_and_moulded_are_further_facts():
    words = pattern(tyre(remade_since=1998, made=made())).words
    assert words.endswith(
        "there was such a tyre. It has been remade since 1998. This one was moulded in 2023."
    )


def size(**place):
    return one(judge_period(tyre(), spot(**place), terms()), "size")


def test_the_size_it_was_built_with():
    assert size().outcome is SUITS


@pytest.mark.parametrize("standing", [Standing.ACCEPTED, Standing.APPROVED, Standing.ON_CAR])
def test_any_other_size_may_not_have_been_current(standing):
    assert size(fitted=(fitted(standing=standing),)).outcome is CANNOT_TELL


def racing(**place):
    return one(judge_period(tyre(), spot(**place), terms(Use.TRACK)), "racing")


def test_the_cars_papers_say_the_racing_period():
    found = racing(racing=RacingPapers(scheme="FIA Appendix K", period="F"))
    assert found.outcome is SUITS
    assert "period F of FIA Appendix K" in found.words


def test_a_letter_without_its_scheme_means_nothing():
    found = racing(racing=RacingPapers(scheme="", period="F"))
    assert found.outcome is CANNOT_TELL
    assert "period F, and not by which scheme" in found.words


def test_without_papers_dates_only_suggest():
    found = racing()
    assert found.outcome is CANNOT_TELL
    assert "Its date only suggests F or GR of FIA Appendix K and F of FIVA" in found.words
    assert "papers" in found.look_at


def test_a_span_suggests_nothing():
    assert "suggests" not in racing(built=YEAR).words


def test_where_a_table_has_no_end_it_goes_on_suggesting():
    assert suggested_words(date(2030, 1, 1)) == (
        " Its date only suggests IC of FIA Appendix K and H of FIVA; specification and papers "
        "decide."
    )


def test_racing_is_asked_on_the_track_and_of_competition_cars():
    def points(place, use):
        return [each.point for each in judge_period(tyre(), place, terms(use))]

    assert points(spot(), Use.ROAD) == ["pattern", "size"]
    assert points(spot(competition=True), Use.ROAD) == ["pattern", "size", "racing"]
    assert points(spot(), Use.TRACK) == ["pattern", "size", "racing"]
