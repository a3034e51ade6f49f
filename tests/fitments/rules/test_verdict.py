"""The verdict on one place: all rules asked, weighed, and put together."""

from __future__ import annotations

import subprocess
import sys
from datetime import date

import pytest

from fitments.rules.registry import RULES
from fitments.rules.values import (
    DaySpan,
    Market,
    Spot,
    Tyre,
    TyreUse,
    Use,
    Weather,
)
from fitments.verdict import judge
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    OTHER_PATTERN,
    REFUSED,
    SUITS,
    TODAY,
    approval,
    fitted,
    listing,
    made,
    race_class,
    sized,
    spot,
    tyre,
)


def verdict(tyre_, place=None, use=Use.ROAD, market=Market.GB, **on):
    return judge(tyre_, place or spot(), use=use, market=market, on=TODAY, **on)


def test_judging_needs_no_framework():
    asked = "import sys, fitments.verdict; print([m for m in sys.modules if m == 'django'])"
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


def test_all_known_and_all_right():
    found = verdict(tyre(made=made()))
    assert found.outcome is SUITS
    assert list(found.by_rule) == [entry.name for entry in RULES]


@pytest.mark.parametrize("use", Use)
@pytest.mark.parametrize("market", Market)
def test_it_suits_everywhere_off_the_track(use, market):
    expected = CAUTION if use is Use.TRACK else SUITS  # a road tyre, and no class named
    assert verdict(tyre(), use=use, market=market).outcome is expected


def test_a_quite_unknown_tyre_on_a_quite_unknown_car_cannot_be_told():
    for use in Use:
        assert verdict(Tyre(code="?"), Spot(), use=use).outcome is CANNOT_TELL


def test_a_typed_in_wheel_is_judged_without_a_listed_car():
    wheel = Spot(rim_mm=381, bead="5-degree", width_in=4.5)
    found = verdict(tyre(), wheel)
    assert found.outcome is CANNOT_TELL
    assert {each.outcome for each in found.by_rule["rim"]} == {SUITS}
    assert verdict(tyre(), Spot(rim_mm=356, bead="5-degree", width_in=4.5)).outcome is REFUSED


def test_one_refusal_decides_over_all_else():
    found = verdict(tyre(), spot(rim_mm=356))
    assert found.outcome is REFUSED
    assert [each.rule for each in found.worst] == ["rim"]
    assert found.reasons[0].startswith("The tyre needs a rim of 15 in (381 mm)")


def test_an_equivalent_is_a_caution_at_best():
    wide = tyre("185/70 R 15 88H", rim_width_max_in=6.5)
    found = verdict(wide)
    assert found.outcome is CAUTION
    assert "size" in [each.rule for each in found.worst]


def test_an_approval_that_is_not_known_does_not_stand_in_the_way():
    found = verdict(tyre())
    assert [each.outcome for each in found.by_rule["approval"]] == [CANNOT_TELL]
    assert found.outcome is SUITS


def test_an_approved_tyre_beside_others_that_are_not():
    place = spot(approvals=(approval(),))
    assert verdict(tyre(mark="HT", mark_issue="2"), place).outcome is SUITS
    assert verdict(tyre(mark="HT", mark_issue="1"), place).outcome is CAUTION
    assert verdict(tyre(pattern_key=OTHER_PATTERN), place).outcome is CAUTION


def test_a_withdrawn_approval_is_a_caution_on_the_road_and_a_refusal_by_list_on_the_track():
    gone = approval(withdrawn_on=date(2026, 1, 1))
    assert verdict(tyre(mark="HT", mark_issue="2"), spot(approvals=(gone,))).outcome is CAUTION
    off = spot(approvals=(listing(withdrawn_on=date(2026, 1, 1)),), competition_class=race_class())
    assert verdict(tyre(use=TyreUse.ROAD_AND_TRACK), off, Use.TRACK).outcome is REFUSED


def test_on_the_track_the_list_decides():
    racer = tyre(use=TyreUse.COMPETITION)
    on = spot(approvals=(listing(),), competition_class=race_class())
    found = verdict(racer, on, Use.TRACK)
    assert found.outcome is CAUTION
    assert [each.point for each in found.worst] == ["racing"]  # no papers on record
    off = spot(competition_class=race_class())
    assert verdict(racer, off, Use.TRACK).outcome is CANNOT_TELL
    assert verdict(racer, on, Use.ROAD).outcome is REFUSED


def test_the_period_is_a_note_on_the_road_and_counts_at_a_show():
    modern = tyre(introduced=1978)
    assert verdict(modern).outcome is SUITS
    assert "Vale came in 1978" in verdict(modern).notes[1].words
    assert verdict(modern, use=Use.SHOW).outcome is REFUSED


def test_supply_is_asked_by_market():
    plain = tyre(type_approvals=())
    assert verdict(plain).outcome is CANNOT_TELL
    assert verdict(plain, market=Market.EU).outcome is CANNOT_TELL
    assert verdict(plain, market=Market.US).outcome is SUITS
    assert verdict(plain, use=Use.SHOW).outcome is SUITS


def test_a_shows_floor_forgives_load_and_speed_to_a_caution():
    weak = tyre(load_index=60, speed="P")
    assert verdict(weak).outcome is REFUSED
    assert verdict(weak, use=Use.SHOW).outcome is CAUTION


def test_the_tolerance_and_the_weather_are_passed_on():
    other = spot(width_in=5.5)
    found = verdict(tyre("205/70 R 15 88H", rim_width_max_in=7), other)
    assert found.outcome is REFUSED
    wide = verdict(tyre("205/70 R 15 88H", rim_width_max_in=7), other, diameter_tolerance_percent=5)
    assert wide.outcome is CAUTION
    assert verdict(tyre(weather=Weather.DRY), weather=Weather.WET).outcome is REFUSED


def test_a_change_of_size_within_the_year_of_building_cannot_be_told():
    early = fitted(built=DaySpan(None, date(1964, 8, 31)))
    assert verdict(tyre(), spot(fitted=(early,))).outcome is SUITS
    assert verdict(tyre(), spot(fitted=(early,), built=DaySpan.year(1964))).outcome is CANNOT_TELL


def test_every_counted_finding_names_the_source_of_its_weight():
    for each in verdict(tyre(made=made())).findings:
        assert each.words.endswith((".", "?")), each.words
        assert each.source
        assert each.counts_by


def test_every_cannot_tell_says_what_to_look_at():
    for use in Use:
        for each in verdict(sized("155-15"), Spot(), use).findings:
            assert each.look_at or each.outcome is not CANNOT_TELL, each
