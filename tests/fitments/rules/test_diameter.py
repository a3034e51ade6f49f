"""Rule 11: room in the arches, and the speedometer."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.diameter import judge_diameter
from fitments.rules.values import Market, Standing
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
)


def arch(text: str, **place):
    return one(judge_diameter(sized(text), spot(**place), terms()), "arch")


def shown(text: str, on=None, **place):
    return one(judge_diameter(sized(text), spot(**place), on or terms()), "speedometer")


def test_a_listed_size_needs_no_comparison():
    (found,) = judge_diameter(sized("165 R 15"), spot(arch_room_mm=None), terms())
    assert (found.outcome, found.point) == (SUITS, "arch")
    assert "646 mm" in found.words


def test_what_is_on_the_car_is_no_listing():
    place = spot(fitted=(fitted(standing=Standing.ON_CAR),))
    assert len(judge_diameter(sized("165 R 15"), place, terms())) == 2


# UN R30 6.1.5, from memory: 185/70 R 15 measures 640 mm, at the most 650.4
@pytest.mark.parametrize(
    ("room_mm", "outcome"), [(651, SUITS), (650, CAUTION), (640, CAUTION), (639, REFUSED)]
)
def test_a_measured_room(room_mm, outcome):
    found = arch("185/70 R 15", arch_room_mm=room_mm)
    assert found.outcome is outcome
    assert f"the arches take {room_mm} mm" in found.words


def test_without_a_measured_room_what_was_fitted_had_to_clear():
    smaller = arch("185/70 R 15", arch_room_mm=None)
    assert smaller.outcome is CAUTION
    assert "up to 650.4 mm, 165 R 15 up to 656.6 mm: it needs no more room" in smaller.words
    larger = arch("5.60-15", arch_room_mm=None)
    assert larger.outcome is CANNOT_TELL
    assert "full lock" in larger.look_at


def test_nothing_to_compare_with():
    assert arch("165 R 15", fitted=(), arch_room_mm=None).outcome is CANNOT_TELL
    assert arch("165 R 15", fitted=(), arch_room_mm=700).outcome is SUITS


def test_a_tyre_whose_diameter_is_not_known():
    found = arch("5.50 L 15")
    assert (found.outcome, found.look_at) == (
        CANNOT_TELL,
        "the overall diameter in the tyre maker's data",
    )
    assert shown("5.50 L 15").outcome is CANNOT_TELL


def test_the_speed_really_driven():
    found = shown("185/70 R 15")
    assert "at 100 km/h shown the car does 99.1 km/h" in found.words


@pytest.mark.parametrize(
    ("text", "market", "first", "outcome", "rule"),
    [
        ("185/70 R 15", Market.GB, date(1964, 7, 1), CANNOT_TELL, "GB 10 %"),
        ("185/70 R 15", Market.GB, None, CANNOT_TELL, "GB 10 %"),
        ("185/70 R 15", Market.GB, date(1937, 9, 30), SUITS, "none before 1937"),
        ("185/70 R 15", Market.GB, date(1937, 10, 1), CANNOT_TELL, "GB 10 %"),
        ("185/70 R 15", Market.EU, date(1930, 1, 1), CANNOT_TELL, "UN R39"),
        ("205/80 R 15", Market.EU, date(1964, 7, 1), CANNOT_TELL, "UN R39"),
    ],
)
def test_the_rule_goes_by_first_use_and_market(text, market, first, outcome, rule):
    found = shown(text, terms(market=market), first_used=first)
    assert found.outcome is outcome
    assert f"({rule})" in found.words


def test_an_unknown_day_of_first_use_is_said():
    words = shown("185/70 R 15", first_used=None).words
    assert "The day of first use is not known: taken as a later car." in words


def test_a_change_that_no_lawful_speedometer_could_stand():
    tiny = shown("165 R 15", reference_overall_mm=900, fitted=())
    assert tiny.outcome is REFUSED
    assert "−28.22 % in diameter" in tiny.words


def test_the_same_diameter_leaves_the_speedometer_as_it_was():
    assert shown("165 R 15", reference_overall_mm=646, fitted=()).outcome is SUITS


def test_elsewhere_type_approval_is_the_rule():
    assert "(UN R39)" in shown("185/70 R 15", terms(market=Market.US), first_used=None).words
