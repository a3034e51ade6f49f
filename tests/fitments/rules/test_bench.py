"""A bench says of every tyre what asking each rule afresh says, whoever was judged on it before."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitments.rules.across_car import judge_car
from fitments.rules.bench import Bench
from fitments.rules.on_axle import judge_axle
from fitments.rules.placed import Placed, are_partners
from fitments.rules.registry import CAR_LOOKS_AT, RULES
from fitments.rules.values import Axle, Finding, Hand, Market, Tyre, Use, Verdict
from fitments.rules.weight import table
from fitments.verdict import judge_on, judge_set
from tests.fitments.rules import guesses
from tests.fitments.rules.making import TODAY, fitted, size, spot, terms, tyre
from tests.fitments.rules.test_properties import quick

FRONT, REAR = Axle.FRONT, Axle.REAR


def weighed(findings, on, where):
    """Each finding with its weight, by the table itself."""
    for each in findings:
        cell = table()[each.rule, each.point, on.market, on.use]
        if cell.counts.name != "NOT_ASKED":
            by = f"{cell.source} ({cell.dated.isoformat()})"
            yield replace(each, place=where, counts=cell.counts, counts_by=by)


def plainly(tyres, spots, on, spare=None) -> Verdict:
    """Every rule asked of every tyre, every axle, and the car; nothing is kept."""
    car = Placed(tyres=tyres, terms=on, spots=spots, spare=spare)
    found: list[Finding] = []
    for axle, here in tyres.items():
        pair = len(here) == 2 and are_partners(*here)
        for one in dict.fromkeys(here):
            side = str(one.hand) if pair and one.hand is not Hand.NONE else spots[axle].side
            place = replace(spots[axle], side=side)
            for entry in RULES:
                found += weighed(entry.judge(one, place, on), on, axle.value)
        found += weighed(judge_axle(car, axle), on, axle.value)
    found += weighed(judge_car(car), on, "")
    return Verdict.of(found)


def kin(one: Tyre, others: list[Tyre], names: list[str]) -> list[Tyre]:
    """A tyre with one fact of each other put into it: alike in most, and different in that."""
    return [one] + [
        replace(one, **{name: getattr(other, name)})
        for other, name in zip(others, names, strict=False)
    ]


NAMES = [field.name for field in fields(Tyre)]


@quick
@given(
    guesses.near_tyres | guesses.tyres,
    st.lists(guesses.tyres, min_size=3, max_size=3),
    st.lists(st.sampled_from(NAMES), min_size=3, max_size=3),
    st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=6),
    guesses.near_spots | guesses.spots,
    guesses.maybe(guesses.tyres),
    guesses.terms,
)
def test_a_bench_says_what_asking_afresh_says(one, others, names, sets, place, spare, on):
    tyres = kin(one, others, names)
    spots = {axle: replace(place, axle=axle) for axle in Axle}
    bench = Bench(spots, on)
    for front, rear in sets:
        here = {FRONT: (tyres[front],), REAR: (tyres[rear],)}
        assert bench.judge(here, spare) == plainly(here, spots, on, spare)
        both = {FRONT: (tyres[front], tyres[rear])}
        assert bench.judge(both) == plainly(both, spots, on)


@quick
@given(guesses.near_tyres | guesses.tyres, guesses.near_spots | guesses.spots, guesses.terms)
def test_one_tyre_at_one_place_is_told_what_every_rule_says(one, place, on):
    found = [each for entry in RULES for each in weighed(entry.judge(one, place, on), on, "")]
    assert judge_on(one, place, on) == Verdict.of(found)


# tyres and places where each rule has something to say of each fact
BASES = [
    tyre(),
    tyre("185/70 VR 15", load_index=89, load_kg=500, load_pressure_kpa=250, introduced=1965),
    tyre("5.60-15", ply=4),
    tyre("T125/90 D 15"),
    tyre("165-380", rim_mm=None),
]
PLACES = [spot(), spot(fitted=(fitted("5.60-15"), fitted("165 R 15"))), spot(fitted=(), wheels=4)]


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_looks_at_nothing_that_it_does_not_name(name):
    """Two tyres that differ in one fact: who says something else of them must look at that fact."""
    seen = {"made": {"made", "condition", "moulded_in"}}.get(name, {name})
    for base in BASES:
        for other in OTHERS:
            changed = replace(base, **{name: getattr(other, name)})
            for place in PLACES:
                for use in (Use.ROAD, Use.TRACK):
                    for entry in RULES:
                        before, after = (
                            [_unnamed(each, one) for each in entry.judge(one, place, terms(use))]
                            for one in (base, changed)
                        )
                        if before != after:
                            assert seen & {*entry.looks_at}, (entry.name, name)


def test_only_rules_that_say_so_call_a_tyre_by_its_name():
    named = set()
    for base in (*BASES, *OTHERS, Tyre(code="Q")):
        one = replace(base, maker="Quillfeather", pattern="Ouse")
        for place in PLACES:
            for use in (Use.ROAD, Use.TRACK):
                for entry in RULES:
                    told = " ".join(each.words for each in entry.judge(one, place, terms(use)))
                    if str(one) in told:
                        named.add(entry.name)
    assert named == {entry.name for entry in RULES if entry.names} == {"size", "rim"}


@quick
@given(guesses.near_tyres | guesses.tyres, guesses.near_spots | guesses.spots, guesses.terms)
def test_the_parts_of_a_rule_say_what_it_says(one, place, on):
    for entry in RULES:
        told = [each for judge, _ in entry.asked for each in judge(one, place, on)]
        assert told == list(entry.judge(one, place, on))
        assert {name for _, names in entry.asked for name in names} == {*entry.looks_at}


def _unnamed(finding: Finding, one: Tyre) -> Finding:
    return replace(finding, words=finding.words.replace(str(one), "the tyre"))


OTHERS = [
    tyre(
        "185/70 R 15 89V", code="Z", maker="Other", pattern="Another", pattern_key=2, mark="QQ",
        mark_issue="9", introduced=1999, withdrawn=2001, remade_since=2010, axle_only="rear",
        hand=Hand.LEFT, ply=8, bead="beaded edge", rim_mm=400, rim_width_min_in=7,
        rim_width_max_in=8, overall_mm=500, section_mm=300, load_index=60, load_index_dual=58,
        speed="P", load_kg=100, load_pressure_kpa=100, top_speed_kmh=100, type_approvals=(),
        supply_basis="for a museum",
    ),
    tyre("6.40-13", construction="radial", load_index=None, speed="", size_keys=frozenset()),
]  # fmt: skip


def test_a_sentence_that_names_a_tyre_is_kept_for_no_other():
    one = tyre("33x5 SS", pattern="Fell", rim_width_min_in=None, rim_width_max_in=None)
    other = replace(one, code="B", pattern="Tarn")
    bench = Bench({FRONT: spot()}, terms())
    told = [" ".join(bench.judge({FRONT: each}).reasons) for each in (one, other)]
    assert str(one) in told[0]
    assert str(other) in told[1]
    assert str(one) not in told[1]


def test_a_rule_is_asked_once_for_tyres_alike_in_what_it_looks_at(monkeypatch):
    asked = []
    rules = [
        replace(entry, parts=[(partial(_noted, asked, judge), at) for judge, at in entry.asked])
        for entry in RULES
    ]
    monkeypatch.setattr("fitments.rules.bench.RULES", tuple(rules))
    bench = Bench({FRONT: spot(), REAR: spot(axle=REAR)}, terms())
    for number in range(5):
        one = tyre(code=f"T{number}", mark=f"M{number}", pattern_key=number)
        bench.judge({FRONT: one, REAR: one})
    parts = sum(len(entry.asked) for entry in RULES)
    assert len(asked) == 2 * parts  # no approval here asks for a mark or a pattern


def _noted(asked, judge, *told):
    asked.append(judge)
    return judge(*told)


@pytest.mark.parametrize("use", Use)
def test_one_set_is_judged_as_on_a_bench(use):
    spots = {FRONT: spot(), REAR: spot(axle=REAR)}
    one = tyre(size=size("185/70 R 15 89V"))
    alone = judge_set({FRONT: one, REAR: one}, spots, use=use, market=Market.GB, on=TODAY)
    assert alone == Bench(spots, terms(use)).judge({FRONT: one, REAR: one})
    assert judge_on(one, spot(), terms(use)) == judge_on(one, spot(), terms(use))


def test_a_car_is_told_by_what_its_rules_look_at():
    assert {*CAR_LOOKS_AT} <= {*NAMES}
    for entry in RULES:
        assert {*entry.looks_at} <= {*NAMES, "condition", "moulded_in"}
