"""Rule 4: the symbol against the car's top speed."""

from __future__ import annotations

import pytest

from fitments.rules.reach import reach
from fitments.rules.speed import judge_speed
from fitments.rules.values import Market, Use, Weather
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    fitted,
    one,
    sized,
    spot,
    terms,
    tyre,
)


def speed(tyre_, on=None, **place):
    return one(judge_speed(tyre_, spot(**place), on or terms()))


@pytest.mark.parametrize(
    ("text", "car_kmh", "outcome"),
    [
        ("165 R 15 86S", 180, SUITS),
        ("165 R 15 86S", 181, REFUSED),
        ("165 R 15 86H", 210, SUITS),
        ("165 SR 15", 180, SUITS),
        ("165 SR 15", 185, REFUSED),
        ("165 HR 15", 210, SUITS),
        ("185/70 VR 15", 200, SUITS),
        ("185/70 VR 15", 210, SUITS),
        ("185/70 VR 15", 225, CANNOT_TELL),
        ("185/70 VR 15 89V", 240, SUITS),
        ("185/70 VR 15 89V", 241, REFUSED),
        ("225/55 ZR 17", 239, SUITS),
        ("225/55 ZR 17", 250, CANNOT_TELL),
        ("225/55 ZR 17 97W", 270, SUITS),
        ("225/55 ZR 17 (97Y)", 300, SUITS),
        ("225/55 ZR 17 (97Y)", 305, CANNOT_TELL),
        ("5.60 H 15", 140, CANNOT_TELL),
        ("5.60 S 15", 140, CANNOT_TELL),
        ("5.60-15", 140, CANNOT_TELL),
    ],
)
def test_what_is_marked_against_the_car(text, car_kmh, outcome):
    assert speed(sized(text), top_speed_kmh=car_kmh).outcome is outcome


def test_the_numbers_are_in_the_words():
    assert speed(sized("165 R 15 86S"), top_speed_kmh=200).words == (
        "The tyre may run 180 km/h (marked S); the car reaches 200 km/h, which is more."
    )
    assert speed(sized("185/70 VR 15"), top_speed_kmh=225).words == (
        "The tyre may run over 210 km/h, with no upper figure (marked V); the car reaches "
        "225 km/h: ask the tyre's maker."
    )


def test_a_letter_in_a_cross_ply_size_is_never_made_a_number():
    found = speed(sized("5.60 H 15"), top_speed_kmh=140)
    assert "not to be told from H in this kind of size" in found.words
    assert found.look_at


def test_the_makers_figure_closes_what_the_mark_leaves_open():
    assert speed(sized("185/70 VR 15", top_speed_kmh=240), top_speed_kmh=225).outcome is SUITS
    assert speed(sized("5.60-15", top_speed_kmh=150), top_speed_kmh=140).outcome is SUITS
    assert speed(sized("5.60-15", top_speed_kmh=130), top_speed_kmh=140).outcome is REFUSED


def test_of_mark_and_makers_figure_the_lower_counts():
    assert reach(sized("165 R 15 86H", top_speed_kmh=180)).kmh == 180
    assert reach(sized("165 R 15 86H", top_speed_kmh=240)).kmh == 210


def test_a_symbol_that_no_table_has():
    assert speed(tyre(speed="?"), top_speed_kmh=100).outcome is CANNOT_TELL


def test_the_car_handbooks_own_lower_symbol_is_a_caution_on_the_road():
    place = {"top_speed_kmh": 190, "fitted": (fitted(least_speed="S"),)}
    found = speed(sized("165 R 15 86S"), **place)
    assert found.outcome is CAUTION
    assert "the car's own listing asks for no more than S" in found.words
    assert speed(sized("165 R 15 86S"), terms(Use.TRACK), **place).outcome is REFUSED
    assert speed(sized("165 R 15 86R"), **place).outcome is REFUSED


def test_a_listing_may_ask_for_more_than_the_car_reaches():
    found = speed(tyre(), fitted=(fitted(least_speed="V"),))
    assert found.outcome is REFUSED
    assert "the car's listing asks for V (240 km/h) at least" in found.words


@pytest.mark.parametrize(
    ("text", "least", "outcome"),
    [
        ("165 R 15 86H", "H", CAUTION),
        ("165 R 15 86S", "H", REFUSED),
        ("165 VR 15", "H", CAUTION),
        ("165 VR 15", "VR", CAUTION),
        ("165 VR 15", "V", CANNOT_TELL),
        ("185/70 R 15 88V", "VR", CAUTION),
        ("165 R 15 86H", "VR", REFUSED),
        ("5.60 H 15", "S", CANNOT_TELL),
    ],
)
def test_without_the_cars_top_speed_the_listing_gives_no_better_than_a_caution(
    text, least, outcome
):
    place = {"top_speed_kmh": None, "fitted": (fitted(least_speed=least),)}
    found = speed(sized(text), **place)
    assert found.outcome is outcome
    assert found.look_at or outcome is REFUSED


def test_neither_top_speed_nor_symbol_asked_for():
    found = speed(tyre(), top_speed_kmh=None)
    assert found.outcome is CANNOT_TELL
    assert "top speed, in its handbook" in found.look_at


def test_a_symbol_asked_for_that_no_table_has_asks_for_nothing():
    assert speed(tyre(), fitted=(fitted(least_speed="XX"),)).outcome is SUITS


# EU 458/2011 4.2.2, quoted elsewhere: winter tyres from 160 km/h on, with a notice.
@pytest.mark.parametrize(
    ("text", "market", "outcome"),
    [
        ("165 R 15 86Q", Market.EU, CAUTION),
        ("165 R 15 86Q", Market.GB, CAUTION),
        ("165 R 15 86Q", Market.US, REFUSED),
        ("165 R 15 86Q", Market.OTHER, REFUSED),
        ("165 R 15 86P", Market.EU, REFUSED),
    ],
)
def test_a_winter_tyre_with_a_notice(text, market, outcome):
    winter = sized(text, weather=Weather.WINTER)
    found = speed(winter, terms(market=market))
    assert found.outcome is outcome
    assert ("notice" in found.words) is (outcome is CAUTION)


def test_a_winter_tyre_needs_no_notice_where_it_is_fast_enough():
    found = speed(tyre(weather=Weather.WINTER))
    assert (found.outcome, "notice" in found.words) == (SUITS, False)


def test_no_exception_on_the_track():
    winter = sized("165 R 15 86Q", weather=Weather.WINTER)
    assert speed(winter, terms(Use.TRACK, Market.EU)).outcome is REFUSED
