"""What tyres come to without a sentence is what their verdict comes to, whatever they are."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitments.rules.bench import Bench
from fitments.rules.gist import NOTHING, Gist, both, brief_of, gist_of
from fitments.rules.kinds import groups
from fitments.rules.registry import PARTS, RULES
from fitments.rules.values import Axle, DaySpan, Hand, Outcome, Use, Verdict
from fitments.rules.voice import Voice
from tests.fitments.rules import guesses
from tests.fitments.rules.making import approval, spot, terms, tyre
from tests.fitments.rules.test_bench import NAMES, kin, plainly
from tests.fitments.rules.test_properties import quick

FRONT, REAR = Axle.FRONT, Axle.REAR


def by_sentences(verdict: Verdict) -> Gist:
    """The same, read off a verdict with all its findings."""
    approvals = [
        each.outcome is Outcome.SUITS
        for each in verdict.findings
        if each.rule == "approval" and each.point in ("maker", "list")
    ]
    sizes = [each.outcome is Outcome.SUITS for each in verdict.findings if each.rule == "size"]
    return Gist(
        verdict.outcome,
        bool(approvals) and all(approvals),
        bool(sizes) and all(sizes),
    )


@settings(quick, max_examples=30)
@given(
    guesses.near_tyres | guesses.tyres,
    st.lists(guesses.tyres, min_size=5, max_size=5),
    st.lists(st.sampled_from(NAMES), min_size=5, max_size=5),
    st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), min_size=2, max_size=8),
    guesses.near_spots | guesses.spots,
    guesses.maybe(guesses.tyres),
    guesses.terms,
)
def test_the_gist_is_that_of_the_verdict(one, others, names, sets, place, spare, on):
    """On one bench for tyres that are alike in most: what is kept of one is said of the next."""
    tyres = kin(one, others, names)
    spots = {axle: replace(place, axle=axle) for axle in Axle}
    bench = Bench(spots, on)
    for front, rear in sets:
        for here in (
            {FRONT: (tyres[front],), REAR: (tyres[rear],)},
            {FRONT: (tyres[front], tyres[rear])},
            {REAR: (tyres[rear],)},
        ):
            told = plainly(here, spots, on, spare)
            assert bench.gist(here, spare) == by_sentences(told)
            assert bench.judge(here, spare) == told


years = st.none() | st.integers(1960, 1968)


@settings(quick, max_examples=30)
@given(
    st.lists(st.tuples(years, years, years), min_size=2, max_size=8),
    st.none() | st.sampled_from([DaySpan(), *map(DaySpan.year, (1962, 1964, 1966))])
    | st.builds(lambda day: DaySpan(day, None), guesses.days)
    | st.builds(lambda day: DaySpan(None, day), guesses.days)
    | st.just(DaySpan(DaySpan.year(1962).first, DaySpan.year(1966).last)),
)  # fmt: skip
def test_years_of_patterns_are_told_apart_as_far_as_it_matters(patterns, built):
    place = spot(built=built)
    bench = Bench({FRONT: place}, terms())
    for came, went, again in patterns:
        one = tyre(introduced=came, withdrawn=went, remade_since=again)
        told = plainly({FRONT: (one,)}, {FRONT: place}, terms())
        assert bench.gist({FRONT: one}) == by_sentences(told)


few_approvals = st.lists(
    st.builds(
        approval,
        keys=st.just(frozenset()) | st.just(tyre().size_keys),
        pattern_key=guesses.maybe(st.integers(1, 2)),
        mark=st.sampled_from(["", "HT", "ht"]),
        mark_issue=st.sampled_from(["", "1", "2"]),
        by_list=st.booleans(),
        least_load_index=guesses.maybe(st.just(88)),
        buffing_allowed=guesses.maybe(st.booleans()),
    ),
    min_size=1,
    max_size=4,
).map(tuple)


@settings(quick, max_examples=30)
@given(
    few_approvals,
    st.lists(
        st.builds(
            tyre,
            pattern_key=guesses.maybe(st.integers(1, 3)),
            mark=st.sampled_from(["", "HT", "ht", "Q"]),
            mark_issue=st.sampled_from(["", "1", "2"]),
            load_index=guesses.maybe(st.sampled_from([86, 89])),
            made=guesses.maybe(guesses.mades()),
        ),
        min_size=2,
        max_size=8,
    ),
    st.booleans(),
)
def test_approvals_are_told_apart_by_what_they_ask(facts, tyres, listed):
    place = spot(approvals=facts) if listed else spot(approvals=facts, fitted=())
    spots = {FRONT: place, REAR: replace(place, axle=REAR)}
    bench = Bench(spots, terms())
    for one, other in zip(tyres, reversed(tyres), strict=True):
        here = {FRONT: (one,), REAR: (other,)}
        assert bench.gist(here) == by_sentences(plainly(here, spots, terms()))


@pytest.mark.parametrize("use", Use)
def test_left_and_right_are_judged_on_their_sides(use):
    pair = tuple(tyre(code=hand.name, hand=hand) for hand in (Hand.LEFT, Hand.RIGHT))
    spots = {FRONT: spot(), REAR: spot(axle=REAR)}
    for here in ({FRONT: pair, REAR: pair}, {FRONT: pair[:1]}, {FRONT: (pair[0], pair[0])}):
        told = plainly(here, spots, terms(use))
        assert Bench(spots, terms(use)).gist(here) == by_sentences(told)


def test_every_part_of_a_rule_is_in_one_group():
    numbers = [at for some in groups(spot(), terms()) for _, numbers in some for at in numbers]
    assert sorted(numbers) == list(range(len(PARTS)))


def test_of_nothing_said_there_is_nothing_to_tell():
    assert both([]) == NOTHING
    assert gist_of(NOTHING) == Gist(Outcome.CANNOT_TELL, approved=False, listed=False)


def test_one_word_against_outweighs_those_for_it():
    size, maker = Voice("size"), Voice("approval").on("maker")
    for voice, name in ((size, "listed"), (maker, "approved")):
        good, bad = brief_of([voice.suits("")]), brief_of([voice.warns("")])
        assert getattr(gist_of(good), name)
        for told in (bad, both([good, bad]), both([bad, good])):
            assert gist_of(told).outcome is Outcome.CAUTION
            assert not getattr(gist_of(told), name)
    assert not gist_of(brief_of([Voice("approval").on("others").suits("")])).approved


def test_of_tyres_of_one_kind_a_rule_is_asked_once(monkeypatch):
    """Patterns, type approvals and marks of their own make no kinds where nothing asks for them."""
    asked = []
    rules = [
        replace(entry, parts=[(partial(_noted, asked, judge), at) for judge, at in entry.asked])
        for entry in RULES
    ]
    monkeypatch.setattr("fitments.rules.bench.RULES", tuple(rules))
    bench = Bench({FRONT: spot(), REAR: spot(axle=REAR)}, terms())
    for number in range(6):
        one = tyre(
            code=f"T{number}", mark=f"M{number}", pattern=f"P{number}", pattern_key=number,
            introduced=1940 + number, type_approvals=(),
        )  # fmt: skip
        bench.gist({FRONT: one, REAR: one})
    assert len(asked) == 2 * len(PARTS)


def _noted(asked, judge, *told):
    asked.append(judge)
    return judge(*told)
