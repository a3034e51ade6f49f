"""Numbers and days as they are read aloud."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from fitments.rules import cautions, words
from fitments.rules.rim import rim_words
from fitments.rules.values import DaySpan


@pytest.mark.parametrize(
    ("value", "text"),
    [(475, "475"), (46.2, "46.2"), (Decimal("646.50"), "646.5"), (640.04, "640"), (1000, "1000")],
)
def test_numbers_without_needless_noughts(value, text):
    assert words.number(value) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.3, "+1.3 %"), (-0.93, "−0.93 %"), (0.0, "0 %"), (-0.001, "0 %"), (10.0, "+10 %")],
)
def test_differences_have_a_sign(value, text):
    assert words.percent(value) == text


def test_a_load_to_be_carried_is_rounded_up():
    assert words.needed_kg(345.0) == "345 kg"
    assert words.needed_kg(345.1) == "346 kg"
    assert words.needed_kg(1035 / 3) == "345 kg"


def test_units():
    assert words.kg(530) == "530 kg"
    assert words.mm(Decimal("646.0")) == "646 mm"
    assert words.inches(5.25) == "5.25 in"


def test_rims_by_their_inch_mark():
    assert rim_words(381) == "15 in (381 mm)"
    assert rim_words(419) == "16.5 in (419 mm)"
    assert rim_words(390) == "390 mm"
    assert rim_words(580) == "580 mm"


@pytest.mark.parametrize(
    ("days", "text"),
    [
        (DaySpan.day(date(1964, 6, 1)), "on 1 June 1964"),
        (DaySpan.year(1964), "from 1 January 1964 to 31 December 1964"),
        (DaySpan(date(1964, 6, 1), None), "from 1 June 1964 on"),
        (DaySpan(None, date(1964, 6, 1)), "up to 1 June 1964"),
        (DaySpan(), "at any time"),
    ],
)
def test_spans(days, text):
    assert words.span(days) == text


@pytest.mark.parametrize(
    ("count", "text"),
    [(72, "6 years"), (12, "1 year"), (18, "18 months"), (1, "1 month"), (0, "0 months")],
)
def test_limits(count, text):
    assert words.months(count) == text


def test_lists():
    assert words.either([]) == ""
    assert words.either(["radial"]) == "radial"
    assert words.either(["radial", "cross-ply", "belted"]) == "radial, cross-ply or belted"


def test_sentences():
    assert words.sentence(" approved by all ") == "Approved by all."
    assert words.sentence("Is it?") == "Is it?"


def test_the_usual_cautions_defer():
    said = " ".join(cautions.ALL)
    for part in ("qualified fitter", "handbook", "law", "pressure", "never computed", "insurance"):
        assert part in said
