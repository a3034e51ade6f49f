"""Rule 5 at one place."""

from __future__ import annotations

import pytest

from fitments.rules.construction import judge_construction
from fitments.rules.mixing import could_be
from fitments.rules.values import Standing
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    SUITS,
    fitted,
    one,
    sized,
    spot,
    terms,
    tyre,
)


def construction(text: str, **place):
    return one(judge_construction(sized(text), spot(**place), terms()))


def test_as_listed():
    found = construction("165 R 15")
    assert (found.outcome, found.words) == (SUITS, "Radial, as listed for this axle.")


def test_as_what_it_replaces():
    found = construction("185/70 R 15")
    assert found.outcome is SUITS
    assert "as is 165 R 15, which it replaces" in found.words


def test_another_construction_is_for_the_whole_car():
    found = construction("165 R 15", fitted=(fitted("5.60-15"),))
    assert found.outcome is CAUTION
    assert "Radial in place of cross-ply (5.60-15): for the whole car" in found.words


def test_a_listed_change_of_construction_suits():
    both = (fitted("5.60-15"), fitted("165 R 15", standing=Standing.ACCEPTED))
    assert construction("165 R 15", fitted=both).outcome is SUITS


def test_an_open_size_cannot_be_told():
    found = construction("155-15", fitted=(fitted("155 R 15"),))
    assert found.outcome is CANNOT_TELL
    assert "radial or cross-ply" in found.words
    assert "RADIAL" in found.look_at


def test_on_a_car_that_is_not_listed():
    found = construction("165 R 15", fitted=())
    assert found.outcome is CAUTION
    assert "Never two constructions on one axle" in found.words


def test_in_place_of_an_open_size_is_a_caution():
    assert construction("185/70 R 15", fitted=(fitted("165-380"),)).outcome is CAUTION


@pytest.mark.parametrize(
    ("text", "stated", "could"),
    [
        ("155-15", "", {"radial", "bias"}),
        ("155-15", "radial", {"radial"}),
        ("155-15", "bias-belted", {"radial", "bias"}),  # the size rules that out
        ("165 R 15", "bias", {"radial"}),  # what is moulded goes before what is said
        ("20/54-13", "bias", {"bias"}),
    ],
)
def test_the_makers_word_closes_what_the_size_leaves_open(text, stated, could):
    assert could_be(sized(text, construction=stated)) == could


def test_a_temporary_spare_is_for_getting_home():
    found = construction("T125/90 D 15")
    assert (found.outcome, found.words) == (
        CAUTION,
        "A temporary spare (cross-ply): for getting home only, by the car's handbook.",
    )


def test_no_size_could_be_anything():
    assert len(could_be(tyre(size=None))) == 3
