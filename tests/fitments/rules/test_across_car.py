"""Set-level rules across the car: constructions, marks, sizes that belong together, the spare."""

from __future__ import annotations

import pytest

from fitments.rules.across_car import judge_car
from fitments.rules.placed import Placed
from fitments.rules.values import Axle, DaySpan, MarkPolicy
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


def car(front, rear, spare=None, spots=None, **on):
    several = {Axle.FRONT: front, Axle.REAR: rear}
    tyres = {
        axle: tyres if isinstance(tyres, tuple) else (tyres,)
        for axle, tyres in several.items()
        if tyres
    }
    return judge_car(Placed(tyres=tyres, terms=terms(**on), spots=spots or {}, spare=spare))


# the closed cases are in tests/standards/test_mixing_gb.py
@pytest.mark.parametrize(
    ("front", "rear", "outcome"),
    [
        ("155-15", "165 R 15", SUITS),  # radials behind go with any
        ("155-15", "5.60-15", CANNOT_TELL),
        ("5.60-15", "155-15", SUITS),  # cross-ply in front goes with any
        ("165 R 15", "155-15", CANNOT_TELL),
        ("155-15", "155-15", CANNOT_TELL),
        ("20/54-13", "185/70 B 13", CANNOT_TELL),
    ],
)
def test_an_open_construction_is_answered_where_every_reading_agrees(front, rear, outcome):
    assert one(car(sized(front), sized(rear)), "construction").outcome is outcome


def test_the_words_name_both():
    words = one(car(sized("165 R 15"), sized("5.60-15")), "construction").words
    assert words.startswith("Radial in front, cross-ply behind: radials in front want radials")


def test_the_worst_pair_counts():
    mixed = (sized("165 R 15"), sized("5.60-15"))
    assert one(car(sized("165 R 15"), mixed), "construction").outcome is REFUSED


def test_one_axle_alone_is_no_car():
    assert car(sized("165 R 15"), None) == ()


def test_a_temporary_spare_on_an_axle_is_excepted():
    found = car((sized("165 R 15"), sized("T125/90 D 15")), sized("165 R 15"))
    assert one(found, "construction").outcome is SUITS
    assert one(found, "spare").outcome is CAUTION
    assert "excepted while it is needed to get home" in one(found, "spare").words


def test_two_temporary_spares_leave_nothing_to_compare():
    found = car(sized("T125/90 D 15"), sized("T125/90 D 15"))
    assert [each.point for each in found if each.point == "construction"] == []


@pytest.mark.parametrize(
    ("policy", "outcome"),
    [(MarkPolicy.FREE, SUITS), (MarkPolicy.SAME, REFUSED), (None, CANNOT_TELL)],
)
def test_mark_issues_by_the_policy_of_their_issuer(policy, outcome):
    front, rear = (tyre(mark="HT", mark_issue=issue) for issue in "12")
    found = one(car(front, rear, mark_issues=policy), "marks")
    assert found.outcome is outcome
    assert "HT, issue 1 and HT, issue 2" in found.words


@pytest.mark.parametrize("policy", [*MarkPolicy, None])
def test_one_mark_round_the_car_suits_any_policy(policy):
    marked = tyre(mark="HT", mark_issue="2")
    assert one(car(marked, marked, mark_issues=policy), "marks").outcome is SUITS


def test_no_mark_at_all():
    assert one(car(tyre(), tyre()), "marks").words == "No approval mark anywhere on the car."


STAGGERED = {
    Axle.FRONT: spot(fitted=(fitted("165 R 15"), fitted("185/70 R 15", combination="B"))),
    Axle.REAR: spot(
        axle=Axle.REAR, fitted=(fitted("165 R 15"), fitted("205/70 R 15", combination="B"))
    ),
}


@pytest.mark.parametrize(
    ("front", "rear", "outcome"),
    [
        ("165 R 15", "165 R 15", SUITS),
        ("185/70 R 15", "205/70 R 15", SUITS),
        ("165 R 15", "205/70 R 15", CAUTION),
        ("185/70 R 15", "165 R 15", CAUTION),
    ],
)
def test_sizes_that_are_listed_together(front, rear, outcome):
    assert one(car(sized(front), sized(rear), spots=STAGGERED), "sizes").outcome is outcome


def test_sizes_that_are_not_listed_make_no_pair():
    found = car(sized("195/65 R 15"), sized("165 R 15"), spots=STAGGERED)
    assert [each for each in found if each.point == "sizes"] == []


def test_sizes_of_other_cars_make_no_pair():
    other = spot(fitted=(fitted(built=DaySpan.year(1970)),))
    found = car(sized("165 R 15"), sized("165 R 15"), spots={Axle.FRONT: other})
    assert [each for each in found if each.point == "sizes"] == []


def test_a_spare_as_the_rest():
    found = one(car(tyre(), tyre(), spare=tyre()), "spare")
    assert (found.outcome, found.words) == (SUITS, "The spare is radial, as is the car.")


def test_a_temporary_spare():
    assert one(car(tyre(), tyre(), spare=sized("T125/90 D 15")), "spare").outcome is CAUTION


def test_a_spare_of_another_construction():
    found = one(car(tyre(), tyre(), spare=sized("5.60-15")), "spare")
    assert found.outcome is CAUTION
    assert "The spare is cross-ply, the car runs on radial" in found.words


def test_a_spare_of_an_open_construction():
    assert one(car(tyre(), tyre(), spare=sized("155-15")), "spare").outcome is CANNOT_TELL


def test_a_spare_alone():
    assert car(None, None, spare=tyre()) == ()


@pytest.mark.parametrize(
    ("policies", "outcome"),
    [
        ((MarkPolicy.FREE, MarkPolicy.FREE), SUITS),
        ((MarkPolicy.SAME, MarkPolicy.SAME), REFUSED),
        ((MarkPolicy.FREE, MarkPolicy.SAME), REFUSED),
        ((MarkPolicy.FREE, None), CANNOT_TELL),
        ((None, None), CANNOT_TELL),
    ],
)
def test_the_policy_is_recorded_with_the_mark(policies, outcome):
    spots = {
        axle: spot(axle=axle, approvals=(approval(mark="HT", mark_policy=policy),))
        for axle, policy in zip(Axle, policies, strict=True)
    }
    front, rear = (tyre(mark="ht", mark_issue=issue) for issue in "12")
    assert one(car(front, rear, spots=spots), "marks").outcome is outcome


def test_a_policy_speaks_of_its_own_mark_only():
    spots = {
        axle: spot(axle=axle, approvals=(approval(mark="HT", mark_policy=MarkPolicy.FREE),))
        for axle in Axle
    }
    for marks in (("HT", "OTHER"), ("OTHER", "OTHER"), ("HT", "")):
        front, rear = (tyre(mark=mark, mark_issue=str(n)) for n, mark in enumerate(marks))
        assert one(car(front, rear, spots=spots), "marks").outcome is CANNOT_TELL
