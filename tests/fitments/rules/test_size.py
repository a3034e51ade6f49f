"""Rule 1: listed, approved, written otherwise, or an equivalent that is a caution at best."""

from __future__ import annotations

from datetime import date

import pytest

from fitments.rules.size import judge_size
from fitments.rules.values import Basis, DaySpan, Standing
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    approval,
    fitted,
    one,
    sized,
    spot,
    terms,
    tyre,
)

CHANGE = date(1964, 9, 1)
EARLY, LATE = DaySpan(None, date(1964, 8, 31)), DaySpan(CHANGE, None)


def judged(text: str, place, on=None):
    return one(judge_size(sized(text), place, on or terms()))


@pytest.mark.parametrize(
    ("standing", "words"),
    [
        (Standing.FITTED_NEW, "165 R 15 was fitted when new."),
        (Standing.APPROVED, "165 R 15 is approved by the car's maker."),
        (Standing.ACCEPTED, "165 R 15 is an accepted alternative."),
    ],
)
def test_a_listed_size_suits_on_the_word_of_its_listing(standing, words):
    found = judged("165 R 15 86H", spot(fitted=(fitted(standing=standing),)))
    assert (found.outcome, found.words, found.source) == (SUITS, words, "handbook, page 12")


@pytest.mark.parametrize("text", ["165/80 R 15", "165/82 R 15 87H"])
def test_the_same_size_written_otherwise_is_no_alternative(text):
    found = judged(text, spot())
    assert found.outcome is SUITS
    assert "is 165 R 15 written otherwise, and that was fitted when new." in found.words


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("225/55 ZR 17 (97Y)", "225/55 ZR 17"),
        ("185 R 14 C 102/100 R", "185 R 14 C"),
        ("165 HR 15", "165 HR 15"),
        ("185/70 R 15 91H XL", "185/70 R 15"),
    ],
)
def test_a_size_is_named_without_its_service_description(text, plain):
    place = spot(fitted=(fitted(text),))
    assert judged(text, place).words == f"{plain} was fitted when new."


def test_either_half_of_a_dual_mark_is_the_size():
    place = spot(rim_mm=356, fitted=(fitted("185-14/7.35-14"),))
    assert judged("7.35-14", place).outcome is SUITS


def test_the_best_standing_is_told():
    both = (fitted(standing=Standing.ACCEPTED), fitted(standing=Standing.FITTED_NEW))
    assert judged("165 R 15", spot(fitted=both)).words == "165 R 15 was fitted when new."


def test_a_listing_for_cars_built_then_needs_the_day_of_building():
    place = spot(built=None, fitted=(fitted(built=EARLY),))
    found = judged("165 R 15", place)
    assert found.outcome is CANNOT_TELL
    assert "on cars built up to 31 August 1964" in found.words
    assert "day of building" in found.look_at


def test_a_span_across_the_change_cannot_tell():
    place = spot(built=DaySpan.year(1964), fitted=(fitted(built=EARLY),))
    assert judged("165 R 15", place).outcome is CANNOT_TELL


def test_a_span_on_one_side_of_the_change_suits():
    place = spot(built=DaySpan(date(1964, 1, 1), date(1964, 8, 31)), fitted=(fitted(built=EARLY),))
    assert judged("165 R 15", place).outcome is SUITS


def test_a_size_for_other_cars_is_compared_and_says_whose_it_is():
    listed = (fitted("5.60-15", built=EARLY), fitted("165 R 15", built=LATE))
    found = judged("165 R 15", spot(fitted=listed))
    assert found.outcome is CAUTION
    assert (
        "165 R 15 belongs on cars built from 1 September 1964 on, not on this one." in found.words
    )
    assert "5.60-15 650 mm: −0.62 %" in found.words


def test_what_is_on_the_car_now_is_no_authority():
    found = judged("165 R 15", spot(fitted=(fitted(standing=Standing.ON_CAR),)))
    assert found.outcome is CAUTION
    assert "165 R 15 is on the car now" in found.words


# Overall diameters: UN R30 Annex 5 Table II and 6.1.2, from memory.
@pytest.mark.parametrize(
    ("text", "difference", "outcome"),
    [
        ("185/70 R 15", "−0.93 %", CAUTION),
        ("195/65 R 15", "−1.7 %", CAUTION),
        ("5.60-15", "+0.62 %", CAUTION),
        ("205/70 R 15", "+3.41 %", REFUSED),
        ("205/50 R 15", "−9.29 %", REFUSED),
    ],
)
def test_an_equivalent_is_never_better_than_a_caution(text, difference, outcome):
    found = judged(text, spot())
    assert found.outcome is outcome
    assert difference in found.words
    assert "±2.5 %" in found.words
    assert "common practice" in found.source


def test_an_equivalent_tells_widths_too():
    assert "22 mm wider (189 mm against 167 mm)" in judged("185/70 R 15", spot()).words
    assert "22 mm narrower (145 mm against 167 mm)" in judged("5.60-15", spot()).words


def test_the_tolerance_is_the_askers():
    place = spot(rim_mm=330, fitted=(fitted("6.40-13"),))
    assert judged("185 R 13", place).outcome is REFUSED  # −2.8 %
    assert judged("185 R 13", place, terms(diameter_tolerance_percent=3)).outcome is CAUTION


def test_of_several_sizes_the_nearest_is_replaced():
    place = spot(fitted=(fitted("5.60-15"), fitted("6.70-15")))
    assert "6.70-15 710 mm" in judged("205/80 R 15", place).words


def test_a_measured_diameter_goes_before_a_listed_one():
    found = judged("185/70 R 15", spot(reference_overall_mm=660))
    assert found.outcome is REFUSED
    assert "what is replaced 660 mm: −3.03 %" in found.words


def test_approved_by_the_maker_beyond_the_fitted_sizes():
    carries = tyre("185/70 R 15 88H", mark="HT", mark_issue="2")
    wide = approval(keys=carries.size_keys)
    found = one(judge_size(carries, spot(approvals=(wide,)), terms()))
    assert (found.outcome, found.words) == (SUITS, "185/70 R 15 is approved by Hallmere for Tern.")


@pytest.mark.parametrize(
    "changes",
    [
        {"basis": Basis.CLAIMED},
        {"basis": Basis.NONE},
        {"withdrawn_on": date(2026, 11, 23)},
        {"valid": DaySpan(date(2027, 1, 1), None)},
        {"mark_issue": "3"},
        {"axle": "rear"},
    ],
)
def test_no_size_suits_by_an_approval_that_does_not_hold(changes):
    carries = tyre("185/70 R 15 88H", mark="HT", mark_issue="2")
    doubtful = approval(**({"keys": carries.size_keys} | changes))
    assert one(judge_size(carries, spot(approvals=(doubtful,)), terms())).outcome is CAUTION


def test_a_car_that_is_not_listed():
    found = judged("165 R 15", spot(fitted=()))
    assert found.outcome is CANNOT_TELL
    assert "What size belongs on this axle is not known" in found.words
    assert "handbook" in found.look_at


def test_a_size_whose_diameter_is_not_derivable_must_be_stated():
    place = spot(fitted=(fitted("5.50 L 15"),))
    unknown = judged("165 R 15", place)
    assert unknown.outcome is CANNOT_TELL
    assert "what 5.50 L 15 measures is not known" in unknown.words
    stated = spot(fitted=(fitted("5.50 L 15", overall_mm=640),))
    assert judged("165 R 15", stated).outcome is CAUTION


def test_a_tyre_whose_diameter_is_not_derivable():
    found = judged("5.50 L 15", spot())
    assert found.outcome is CANNOT_TELL
    assert "what 5.50 L 15 measures is not known" in found.words
    assert one(judge_size(sized("5.50 L 15", overall_mm=641), spot(), terms())).outcome is CAUTION


def test_no_size_at_all():
    assert one(judge_size(tyre(size=None, size_keys=frozenset()), spot(), terms())).outcome is (
        CANNOT_TELL
    )
