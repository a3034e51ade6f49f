"""Rule 9: road-legal, weather, axle, hand, and what became of the tyre."""

from __future__ import annotations

import pytest

from fitments.rules.use import judge_use
from fitments.rules.values import (
    Axle,
    Compound,
    Condition,
    Hand,
    Tread,
    TyreUse,
    Use,
    Weather,
)
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    made,
    one,
    spot,
    terms,
    tyre,
)


def use(tyre_, on=None, **place):
    return judge_use(tyre_, spot(**place), on or terms())


@pytest.mark.parametrize(
    ("made_for", "used_on", "outcome"),
    [
        (TyreUse.ROAD, Use.ROAD, SUITS),
        (TyreUse.ROAD, Use.TRACK, CAUTION),
        (TyreUse.ROAD, Use.SHOW, SUITS),
        (TyreUse.ROAD_AND_TRACK, Use.ROAD, SUITS),
        (TyreUse.ROAD_AND_TRACK, Use.TRACK, SUITS),
        (TyreUse.COMPETITION, Use.ROAD, REFUSED),
        (TyreUse.COMPETITION, Use.TRACK, SUITS),
        (TyreUse.COMPETITION, Use.SHOW, REFUSED),
        (None, Use.ROAD, CANNOT_TELL),
        (None, Use.TRACK, CANNOT_TELL),
    ],
)
def test_road_legal_or_not(made_for, used_on, outcome):
    assert one(use(tyre(use=made_for), terms(used_on)), "legal").outcome is outcome


@pytest.mark.parametrize(
    ("made_for", "wanted", "used_on", "outcome"),
    [
        (Weather.ANY, None, Use.ROAD, SUITS),
        (Weather.WINTER, None, Use.ROAD, SUITS),
        (Weather.DRY, None, Use.ROAD, CAUTION),
        (Weather.WET, None, Use.ROAD, CAUTION),
        (Weather.WINTER, None, Use.TRACK, CAUTION),
        (Weather.INTERMEDIATE, None, Use.TRACK, SUITS),
        (Weather.WET, Weather.WET, Use.TRACK, SUITS),
        (Weather.ANY, Weather.WET, Use.TRACK, SUITS),
        (Weather.DRY, Weather.WET, Use.TRACK, REFUSED),
        (Weather.WET, Weather.ANY, Use.ROAD, CAUTION),
    ],
)
def test_weather(made_for, wanted, used_on, outcome):
    found = one(use(tyre(weather=made_for), terms(used_on, weather=wanted)), "weather")
    assert found.outcome is outcome


def test_weather_in_words():
    found = one(use(tyre(weather=Weather.DRY), terms(weather=Weather.WET)), "weather")
    assert found.words == "Wanted for wet; made for dry weather."


def test_a_tyre_for_either_axle_says_nothing_of_axles():
    assert "axle" not in [each.point for each in use(tyre())]


@pytest.mark.parametrize(
    ("only", "axle", "outcome"),
    [
        ("rear", Axle.REAR, SUITS),
        ("rear", Axle.FRONT, REFUSED),
        ("front", Axle.FRONT, SUITS),
        ("rear", None, CANNOT_TELL),
    ],
)
def test_a_tyre_or_compound_for_one_axle(only, axle, outcome):
    assert one(use(tyre(axle_only=only), axle=axle), "axle").outcome is outcome
    mixed = tyre(compound=Compound(code="R4", axle_only=only))
    found = one(use(mixed, axle=axle), "axle")
    assert found.outcome is outcome
    assert f"Compound R4 is made for the {only} axle" in found.words


def test_tyre_and_compound_that_disagree_go_nowhere():
    odd = tyre(axle_only="front", compound=Compound(code="R4", axle_only="rear"))
    assert one(use(odd, axle=Axle.FRONT), "axle").outcome is REFUSED
    assert one(use(odd, axle=Axle.REAR), "axle").outcome is REFUSED


@pytest.mark.parametrize(
    ("hand", "side", "outcome"),
    [
        (Hand.LEFT, "left", SUITS),
        (Hand.LEFT, "right", REFUSED),
        (Hand.RIGHT, "", CAUTION),
    ],
)
def test_handed(hand, side, outcome):
    assert one(use(tyre(hand=hand), side=side), "hand").outcome is outcome


@pytest.mark.parametrize(
    ("tread", "words"),
    [(Tread.DIRECTIONAL, "mount it by the arrow"), (Tread.ASYMMETRIC, "an outside and an inside")],
)
def test_directional_and_asymmetric_are_not_handed(tread, words):
    found = one(use(tyre(tread=tread)), "hand")
    assert found.outcome is SUITS
    assert words in found.words
    assert "not handed" in found.words


@pytest.mark.parametrize(
    ("condition", "outcome"),
    [
        (Condition.DISPLAY, REFUSED),
        (Condition.FITTED, CAUTION),
        (Condition.TAKE_OFF, CAUTION),
        (Condition.PART_WORN, CAUTION),
        (Condition.BUFFED, CAUTION),
        (Condition.HAND_CUT, CAUTION),
    ],
)
def test_what_became_of_it(condition, outcome):
    assert one(use(tyre(made=made(condition=condition))), "condition").outcome is outcome


def test_a_new_tyre_has_no_past():
    assert "condition" not in [each.point for each in use(tyre(made=made()))]
