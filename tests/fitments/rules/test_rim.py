"""Rule 2: diameter and bead seat exact, width within the range."""

from __future__ import annotations

import pytest

from fitments.rules.rim import judge_rim
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    one,
    sized,
    spot,
    terms,
    tyre,
)


def diameter(tyre_, **wheel):
    return one(judge_rim(tyre_, spot(**wheel), terms()))


def width(tyre_, **wheel):
    return one(judge_rim(tyre_, spot(**wheel), terms()), "width")


def test_the_same_rim():
    found = diameter(tyre())
    assert found.outcome is SUITS
    assert found.words == "Tyre and wheel are both 15 in (381 mm), 5-degree bead seat."


def test_another_diameter_never_suits():
    found = diameter(tyre(), rim_mm=356)
    assert found.outcome is REFUSED
    assert "15 in (381 mm), the wheel measures 14 in (356 mm)" in found.words


@pytest.mark.parametrize(
    ("text", "rim_mm", "bead", "outcome"),
    [
        ("165-380", 381, "5-degree", SUITS),  # an old millimetre mark of the 15-inch rim
        ("165 R 400", 406, "5-degree", REFUSED),  # a rim of its own
        ("165 R 400", 400, "old millimetre", SUITS),
        ("190/65 R 390", 381, "5-degree", REFUSED),
        ("190/65 R 390", 390, "metric", SUITS),
        ("820x120", 580, "beaded edge", SUITS),
        ("820x120", 580, "straight side", REFUSED),
        ("33x5 SS", 584, "beaded edge", REFUSED),
        ("33x5 SS", 584, "straight side", SUITS),
        ("33x5 BE", 584, "beaded edge", SUITS),
    ],
)
def test_rims_are_matched_on_diameter_and_bead_seat(text, rim_mm, bead, outcome):
    assert diameter(sized(text), rim_mm=rim_mm, bead=bead).outcome is outcome


def test_another_bead_seat_on_the_same_diameter_is_told_apart():
    words = diameter(sized("33x5 SS"), rim_mm=584, bead="beaded edge").words
    assert "straight side rim and the wheel is beaded edge" in words


@pytest.mark.parametrize("text", ["30x3½", "33x5 SS"])
def test_an_open_bead_cannot_be_told(text):
    made = sized(text)
    wheel_mm = round(25.4 * made.size.rim_in)
    found = diameter(made, rim_mm=wheel_mm, bead="beaded edge or straight side")
    assert found.outcome is CANNOT_TELL
    assert "hooked under" in found.look_at


def test_a_diameter_that_only_one_rim_has_needs_no_bead():
    assert diameter(tyre(), bead="").outcome is SUITS
    assert diameter(sized("165 R 400"), rim_mm=400, bead="").outcome is SUITS


def test_a_diameter_that_no_mark_has_needs_its_bead():
    assert diameter(sized("820x120"), rim_mm=580, bead="").outcome is CANNOT_TELL


def test_columns_of_the_catalogue_go_before_the_size():
    assert diameter(tyre(rim_mm=381, bead="5-degree")).outcome is SUITS
    assert diameter(tyre(rim_mm=390, bead="metric")).outcome is REFUSED


def test_no_rim_known_on_either_side():
    wheel = diameter(tyre(), rim_mm=None)
    assert (wheel.outcome, wheel.look_at) == (CANNOT_TELL, "the size stamped on the wheel")
    assert diameter(tyre(size=None)).outcome is CANNOT_TELL


@pytest.mark.parametrize(
    ("wheel_in", "outcome"),
    [(4, SUITS), (5.5, SUITS), (3.75, REFUSED), (6, REFUSED), (None, CANNOT_TELL)],
)
def test_width_within_the_makers_own_range(wheel_in, outcome):
    found = width(tyre(), width_in=wheel_in)
    assert found.outcome is outcome
    assert "4 to 5.5 in" in found.words


def test_the_words_give_the_width():
    assert (
        width(tyre(), width_in=6).words
        == "The wheel is 6 in wide; the tyre takes only 4 to 5.5 in."
    )


def test_without_the_makers_range_the_usual_one_is_never_better_than_a_caution():
    inside = width(sized("165 R 15"), width_in=4.5)
    assert inside.outcome is CAUTION
    assert "the maker's own range is not on record" in inside.words
    outside = width(sized("165 R 15"), width_in=7)
    assert outside.outcome is CANNOT_TELL
    assert "common practice" in outside.source


def test_half_a_range_is_none():
    assert width(tyre(rim_width_max_in=None), width_in=4.5).outcome is CAUTION


def test_no_range_at_all():
    found = width(sized("5.50 L 15"), width_in=5)
    assert (found.outcome, found.look_at) == (
        CANNOT_TELL,
        "the tyre maker's table of rim widths",
    )
