"""What holds of every tyre at every place: judging never fails, and knowing less never helps."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from fitments.rules.registry import RULES
from fitments.rules.values import Axle, Outcome, RimKind, Spot, TubeType, Tyre, Use, Verdict
from fitments.rules.weight import weigh
from fitments.verdict import judge_on, judge_set
from tests.fitments.rules import guesses
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    spot,
    terms,
    tyre,
    without,
)

quick = settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@quick
@given(guesses.tyres, guesses.spots, guesses.terms)
def test_judging_never_fails_and_always_says_why(tyre_, spot_, on):
    verdict = judge_on(tyre_, spot_, on)
    assert isinstance(verdict, Verdict)
    for each in verdict.findings:
        assert each.words.strip()
        assert each.words[-1] in ".?"
        assert each.source.strip()
        assert each.counts_by
        assert each.look_at or each.outcome is not CANNOT_TELL, each


@quick
@given(guesses.tyres, guesses.spots, guesses.terms)
def test_the_verdict_is_its_strictest_counted_finding(tyre_, spot_, on):
    verdict = judge_on(tyre_, spot_, on)
    counted = [each.counted for each in verdict.findings if each.counted is not None]
    assert verdict.outcome == max(counted)
    assert all(each.counted is verdict.outcome for each in verdict.worst)
    assert verdict.worst


@quick
@given(guesses.tyres, guesses.spots, guesses.terms)
def test_asking_twice_says_the_same(tyre_, spot_, on):
    assert judge_on(tyre_, spot_, on) == judge_on(tyre_, spot_, on)


@settings(quick, max_examples=50)
@given(
    st.lists(guesses.tyres, min_size=1, max_size=2),
    st.lists(guesses.tyres, max_size=2),
    guesses.spots,
    guesses.maybe(guesses.tyres),
    guesses.terms,
)
def test_a_set_is_never_judged_better_than_its_places(fronts, rears, place, spare, on):
    told = {"use": on.use, "market": on.market, "on": on.on, "weather": on.weather}
    tyres = {Axle.FRONT: tuple(fronts)} | ({Axle.REAR: tuple(rears)} if rears else {})
    spots = {axle: replace(place, axle=axle) for axle in tyres}
    verdict = judge_set(tyres, spots, spare=spare, mark_issues=on.mark_issues, **told)
    pair = len(fronts) == 2 and fronts[0].hand and fronts[1].hand
    if not pair:
        alone = judge_on(fronts[0], spots[Axle.FRONT], replace(on, diameter_tolerance_percent=2.5))
        assert verdict.outcome >= alone.outcome


@quick
@given(guesses.tyres, guesses.spots, guesses.terms)
def test_the_strictest_row_of_the_table_never_makes_a_finding_worse(tyre_, spot_, on):
    for entry in RULES:
        for each in weigh(entry.judge(tyre_, spot_, on), on):
            assert each.counted is None or each.counted <= each.outcome


# Facts that the rules need. What is only a wish (a limit, a class, an approval) is not among them:
# "not known" there is not "not approved", and no limit is no limit.
OF_A_TYRE = (
    *("size", "load_index", "speed", "rim_width_min_in", "rim_width_max_in", "use", "tube"),
    *("introduced", "overall_mm", "type_approvals", "load_kg", "top_speed_kmh"),
)
OF_A_SPOT = (
    *("rim_mm", "bead", "width_in", "rim_kind", "tubed", "axle_load_kg", "wheels"),
    *("top_speed_kmh", "fitted", "built", "arch_room_mm", "axle", "pressures"),
)
#: Of these the rules have something to go by without: the usual rim widths of the size, the other
#: of index and statement, what was fitted before. They may give a caution then, never more.
STOOD_IN_FOR = {
    *("rim_width_min_in", "rim_width_max_in", "load_kg", "top_speed_kmh", "arch_room_mm"),
}
SERVED = {"load_index": 86, "speed": "H"}
BAD_TYRES = [
    tyre("185/70 R 15", **SERVED),
    tyre("205/50 R 15", **SERVED),
    tyre("165 R 15", load_index=60, speed="H"),
    tyre("165 R 15", load_index=86, speed="P"),
    tyre("165 R 15", tube=TubeType.NO_TUBE, **SERVED),
    tyre("165 R 15", type_approvals=(), **SERVED),
    tyre("165 R 14", **SERVED),
    tyre("5.60-15", ply=4),
    tyre("165 R 15", introduced=1978, **SERVED),
    tyre("165 R 15", axle_only="rear", **SERVED),
    tyre("185/70 VR 15", load_index=89),
    tyre("185/70 R 15", load_index=89, speed="V", load_kg=300),
]
BAD_SPOTS = [
    spot(),
    spot(width_in=7),
    spot(axle_load_kg=2000),
    spot(top_speed_kmh=235),
    spot(rim_kind=RimKind.SPOKED),
    spot(rim_kind=RimKind.HUMPLESS),
    spot(tubed=False),
    spot(arch_room_mm=600),
    spot(wheels=4),
    spot(pressures=()),
]
GOODNESS = {SUITS: 2, CAUTION: 1, CANNOT_TELL: 0, REFUSED: 0}


def judged(tyre_: Tyre, spot_: Spot, use: Use) -> Outcome:
    return judge_on(tyre_, spot_, terms(use)).outcome


def no_better(after: Outcome, before: Outcome, field: str) -> bool:
    """A refusal may become "cannot tell", and what is known less well may never suit the better."""
    if field in STOOD_IN_FOR:
        return after is not SUITS or before is SUITS
    return GOODNESS[after] <= GOODNESS[before]


@pytest.mark.parametrize("use", Use)
@pytest.mark.parametrize("field", OF_A_TYRE)
def test_knowing_less_of_a_tyre_never_makes_it_suit_better(field, use):
    for tyre_ in BAD_TYRES:
        # the keys and the size are one fact
        less = without(tyre_, *({field, "size_keys"} if field == "size" else {field}))
        for spot_ in BAD_SPOTS:
            before, after = judged(tyre_, spot_, use), judged(less, spot_, use)
            assert no_better(after, before, field), (str(tyre_), spot_)


@pytest.mark.parametrize("use", Use)
@pytest.mark.parametrize("field", OF_A_SPOT)
def test_knowing_less_of_a_place_never_makes_a_tyre_suit_better(field, use):
    for tyre_ in BAD_TYRES:
        for spot_ in BAD_SPOTS:
            before, after = judged(tyre_, spot_, use), judged(tyre_, without(spot_, field), use)
            assert no_better(after, before, field), (str(tyre_), spot_)


NEEDED_ON_THE_ROAD = (
    *(
        (tyre("165 R 15", **SERVED), spot(), "tyre", field)
        for field in ("size", "load_index", "speed")
    ),
    *((tyre(), spot(), "tyre", field) for field in ("use", "tube", "type_approvals")),
    *((tyre(), spot(), "spot", field) for field in ("rim_mm", "width_in", "rim_kind", "wheels")),
    *((tyre(), spot(), "spot", field) for field in ("axle_load_kg", "top_speed_kmh", "fitted")),
    *((tyre(), spot(), "spot", field) for field in ("pressures",)),
)


@pytest.mark.parametrize(
    ("tyre_", "spot_", "of", "field"), NEEDED_ON_THE_ROAD, ids=lambda each: str(each)[:20]
)
def test_what_a_rule_needs_is_missed(tyre_, spot_, of, field):
    assert judged(tyre_, spot_, Use.ROAD) is SUITS
    if of == "tyre":
        tyre_ = without(tyre_, *({field, "size_keys"} if field == "size" else {field}))
    else:
        spot_ = without(spot_, field)
    missed = judged(tyre_, spot_, Use.ROAD)
    assert missed is (CAUTION if field == "pressures" else CANNOT_TELL)


@settings(quick, max_examples=200)
@given(guesses.near_tyres, guesses.near_spots, guesses.terms, st.sampled_from(OF_A_TYRE))
def test_less_known_of_any_tyre_never_makes_it_suit(tyre_, spot_, on, field):
    less = without(tyre_, *({field, "size_keys"} if field == "size" else {field}))
    before, after = judge_on(tyre_, spot_, on).outcome, judge_on(less, spot_, on).outcome
    assert after is not SUITS or before is SUITS


@settings(quick, max_examples=200)
@given(guesses.near_tyres, guesses.near_spots, guesses.terms, st.sampled_from(OF_A_SPOT))
def test_less_known_of_any_place_never_makes_a_tyre_suit(tyre_, spot_, on, field):
    # A rim listed without its bead is the usual one of its diameter: that is not to know less.
    assume(field != "bead" or spot_.bead in ("", "5-degree"))
    less = without(spot_, field)
    before, after = judge_on(tyre_, spot_, on).outcome, judge_on(tyre_, less, on).outcome
    assert after is not SUITS or before is SUITS
