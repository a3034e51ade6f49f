"""A tyre on its round is told at every place what judging it there alone says."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import partial

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fitments.rules.registry import RULES
from fitments.rules.round import PLAIN, SEES, TRAITS, Round, surely_listed
from fitments.rules.values import DaySpan, Spot, Standing, Use
from fitments.verdict import judge_on
from tests.fitments.rules import guesses
from tests.fitments.rules.making import fitted, pressure, spot, terms, tyre
from tests.fitments.rules.test_properties import quick

NAMES = [field.name for field in fields(Spot)]
some_spots = guesses.near_spots | guesses.spots


def kin(one, others, names):
    """A place with one fact of each other put into it: alike in most, and different in that."""
    changed = zip(others, names, strict=False)
    return [one, *(replace(one, **{name: getattr(other, name)}) for other, name in changed)]


@settings(quick, max_examples=30)
@given(
    guesses.near_tyres | guesses.tyres,
    some_spots,
    st.lists(some_spots, min_size=4, max_size=4),
    st.lists(st.sampled_from(NAMES), min_size=4, max_size=4),
    st.lists(st.integers(0, 5), min_size=3, max_size=12),
    guesses.terms,
)
def test_a_round_says_what_judging_one_by_one_says(one, place, others, names, visits, on):
    places = [*kin(place, others, names), spot()]
    round_ = Round(one, on)
    for number in visits:
        assert round_.judge(places[number]) == judge_on(one, places[number], on)


@settings(quick, max_examples=30)
@given(
    guesses.near_tyres | guesses.tyres,
    some_spots,
    st.lists(guesses.fitted_sizes, max_size=3),
    guesses.terms,
)
def test_beside_a_sure_listing_of_the_tyres_own_size_no_other_size_matters(one, place, more, on):
    assume(one.size is not None)
    own = fitted(str(one.size))
    for sizes in ((own, *more), (*more, own), (own, replace(own, standing=Standing.ACCEPTED))):
        here = replace(place, fitted=sizes)
        best = surely_listed(one, here)
        assume(best is not None)
        alone = replace(here, fitted=(replace(best, built=DaySpan()),))
        assert judge_on(one, here, on) == judge_on(one, alone, on)


# places that each rule tells apart by something, and what another place may have instead
PLACES = [
    spot(),
    spot(fitted=(fitted("185/70 R 15"),)),
    spot(top_speed_kmh=None, axle_load_kg=None),
    spot(pressures=(pressure(180, keys=frozenset()),)),
]
OTHER = spot(
    axle="rear", side="left", rim_mm=356, bead="beaded edge", width_in=9, rim_kind="spoked",
    tubed=False, axle_load_kg=2000, wheels=4, top_speed_kmh=240, pressures=(),
    built=DaySpan.year(1999), first_used=DaySpan.year(1999).first, fitted=(),
    reference_overall_mm=700, arch_room_mm=500, approvals=(), competition=True,
    customer_limit_months=12, house_limit_months=12,
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_looks_at_nothing_of_a_place_that_it_does_not_name(name):
    """Of two places that differ in one fact: who says something else there must look at it."""
    derived = {"listed", "instead", "raced"}
    seen = {name} if name in TRAITS else derived
    seen |= derived if name in ("axle", "approvals", "built") else set()
    for base in PLACES:
        changed = replace(base, **{name: getattr(OTHER, name)})
        for one in (tyre(), tyre("185/70 VR 15", load_index=89), tyre("5.60-15", ply=4)):
            for use in Use:
                for judge, sees in SEES.items():
                    told = [judge(one, place, terms(use)) for place in (base, changed)]
                    assert told[0] == told[1] or seen & {*sees}, (judge, name)


def test_every_rule_is_named_with_what_it_sees():
    assert {*SEES} == {judge for entry in RULES for judge, _ in entry.asked}
    assert {name for sees in SEES.values() for name in sees} == {*TRAITS}
    assert {*PLAIN} <= {*NAMES}


def _asked_of(monkeypatch, places):
    """How often each rule is asked on a round of these places."""
    asked = []
    rules = [
        replace(entry, parts=[(partial(_noted, asked, judge), at) for judge, at in entry.asked])
        for entry in RULES
    ]
    sees = {judge: SEES[judge.args[1]] for entry in rules for judge, _ in entry.parts}
    monkeypatch.setattr("fitments.rules.round.RULES", tuple(rules))
    monkeypatch.setattr("fitments.rules.round.SEES", sees)
    round_ = Round(tyre(), terms())
    for place in places:
        round_.judge(place)
    return {judge.__name__: asked.count(judge) for judge in SEES}


def _noted(asked, judge, *told):
    asked.append(judge)
    return judge(*told)


def test_a_rule_is_asked_once_for_places_alike_in_what_it_sees(monkeypatch):
    base = spot()
    places = [replace(base, car=f"car {number}", arch_room_mm=number) for number in range(600, 620)]
    assert set(_asked_of(monkeypatch, places).values()) == {1}


def test_only_the_rules_that_see_the_difference_are_asked_again(monkeypatch):
    base = spot()
    asked = _asked_of(monkeypatch, [replace(base, top_speed_kmh=kmh) for kmh in (150, 160, 160)])
    assert {name for name, times in asked.items() if times == 2} == {"judge_load", "judge_speed"}


def test_a_rule_that_is_not_named_is_asked_at_every_place(monkeypatch):
    monkeypatch.setattr("fitments.rules.round.SEES", {})
    base = spot()
    round_ = Round(tyre(), terms())
    verdicts = {round_.judge(replace(base, width_in=width)) for width in (5, 9)}
    assert len(verdicts) == 2
