"""The verdict on a set: every place, every axle, and the car."""

from __future__ import annotations

import pytest

from fitments.rules.values import Axle, Hand, Market, MarkPolicy, Use
from fitments.verdict import judge, judge_set
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    TODAY,
    fitted,
    sized,
    spot,
    tyre,
)

FRONT, REAR = Axle.FRONT, Axle.REAR
SPOTS = {FRONT: spot(), REAR: spot(axle=REAR)}


def car(tyres, spots=SPOTS, use=Use.ROAD, market=Market.GB, **on):
    return judge_set(tyres, spots, use=use, market=market, on=TODAY, **on)


def test_four_alike():
    found = car({FRONT: tyre(), REAR: tyre()})
    assert found.outcome is SUITS
    assert {each.place for each in found.findings} == {"front", "rear", ""}
    assert {each.rule for each in found.findings if not each.place} == {"across the car"}


def test_each_place_is_judged_as_it_would_be_alone():
    found = car({FRONT: tyre(), REAR: tyre()})
    alone = judge(tyre(), SPOTS[FRONT], use=Use.ROAD, market=Market.GB, on=TODAY)
    at_front = [each for each in found.findings if each.place == "front"]
    assert [each.words for each in at_front] == [each.words for each in alone.findings]


def test_one_bad_place_decides():
    spots = {FRONT: spot(), REAR: spot(axle=REAR, rim_mm=356)}
    found = car({FRONT: tyre(), REAR: tyre()}, spots)
    assert found.outcome is REFUSED
    assert {each.place for each in found.worst} == {"rear"}


@pytest.mark.parametrize(
    ("use", "market", "outcome"),
    [
        (Use.ROAD, Market.GB, REFUSED),
        (Use.ROAD, Market.OTHER, REFUSED),
        (Use.SHOW, Market.GB, CAUTION),
    ],
)
def test_radials_in_front_of_cross_ply(use, market, outcome):
    both = (fitted("165 R 15"), fitted("5.60-15"))
    spots = {FRONT: spot(fitted=both), REAR: spot(axle=REAR, fitted=both)}
    plies = tyre("5.60-15", load_index=80, speed="S")
    found = car({FRONT: tyre(), REAR: plies}, spots, use, market)
    assert found.outcome is outcome
    assert ("across the car", "construction") in {(each.rule, each.point) for each in found.worst}


def test_a_new_tyre_beside_the_one_on_the_car():
    found = car({FRONT: (tyre(), tyre(code="OLD", pattern="Fell")), REAR: tyre()})
    assert found.outcome is CAUTION
    assert [(each.point, each.place) for each in found.worst] == [("SKU", "front")]


def test_two_of_one_sku_are_judged_once_at_their_place():
    found = car({FRONT: [tyre(), tyre()]})
    assert len([each for each in found.findings if each.rule == "rim"]) == 2
    assert len([each for each in found.findings if each.rule == "on an axle"]) == 5


def test_a_handed_pair_goes_left_and_right():
    left, right = (tyre(hand=hand, code=f"V-{hand}") for hand in (Hand.LEFT, Hand.RIGHT))
    assert car({FRONT: (left, right), REAR: (left, right)}).outcome is SUITS
    assert car({FRONT: left}).outcome is CANNOT_TELL
    assert car({FRONT: (left, left)}).outcome is REFUSED


def test_marks_by_policy():
    first, second = (tyre(mark="HT", mark_issue=issue) for issue in "12")
    assert car({FRONT: first, REAR: second}, mark_issues=MarkPolicy.FREE).outcome is SUITS
    assert car({FRONT: first, REAR: second}, mark_issues=MarkPolicy.SAME).outcome is CAUTION
    assert car({FRONT: first, REAR: second}).outcome is CAUTION


def test_a_spare_of_another_construction_is_a_caution():
    assert car({FRONT: tyre(), REAR: tyre()}, spare=sized("5.60-15")).outcome is CAUTION


def test_an_axle_without_a_known_place_cannot_be_told():
    assert car({FRONT: tyre(), REAR: tyre()}, {FRONT: spot()}).outcome is CANNOT_TELL


def test_no_tyres_no_verdict():
    assert car({}).outcome is CANNOT_TELL
