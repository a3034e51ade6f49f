"""Rule 3: what each tyre must carry, at the car's top speed and the stated pressure."""

from __future__ import annotations

import pytest

from fitments.rules.load import judge_load
from tests.fitments.rules.making import (
    CANNOT_TELL,
    CAUTION,
    REFUSED,
    SUITS,
    fitted,
    one,
    pressure,
    sized,
    spot,
    terms,
    tyre,
)


def load(tyre_, **place):
    return one(judge_load(tyre_, spot(**place), terms()))


def at_pressure(tyre_, **place):
    return one(judge_load(tyre_, spot(**place), terms()), "pressure")


def test_each_tyre_carries_its_share_of_the_axle():
    found = load(tyre())
    assert found.outcome is SUITS
    assert found.words == (
        "One tyre may carry 530 kg at 175 km/h (load index 86H); each of the axle's 2 tyres must "
        "carry 345 kg (690 kg on the axle)."
    )


def test_what_must_be_carried_is_rounded_up():
    assert "must carry 346 kg" in load(tyre(), axle_load_kg=691).words


@pytest.mark.parametrize(("axle_kg", "outcome"), [(1060, SUITS), (1061, REFUSED)])
def test_to_the_kilogram(axle_kg, outcome):
    assert load(tyre(), axle_load_kg=axle_kg).outcome is outcome


# UN R30 2.33, from memory; V is 100 % at 210 and 91 % at 240 in a second source.
@pytest.mark.parametrize(
    ("text", "car_kmh", "kg"),
    [
        ("185/70 R 15 91V", 240, 559),
        ("185/70 R 15 91V", 217, 602),
        ("185/70 R 15 86V", 232, 495),
        ("185/70 R 15 89V", 230, 545),
        ("205/55 R 16 94W", 255, 619),
        ("205/55 R 16 97Y", 285, 675),
        ("185/70 R 15 91V", 180, 615),
    ],
)
def test_near_its_top_speed_a_tyre_carries_less(text, car_kmh, kg):
    words = load(sized(text), top_speed_kmh=car_kmh).words
    assert f"may carry {kg} kg at {car_kmh} km/h" in words


def test_the_share_lost_near_top_speed_can_decide():
    heavy = {"axle_load_kg": 1200}
    assert load(sized("185/70 R 15 91V"), top_speed_kmh=200, **heavy).outcome is SUITS
    assert load(sized("185/70 R 15 91V"), top_speed_kmh=240, **heavy).outcome is REFUSED


def test_a_car_faster_than_the_tyre_is_judged_at_the_tyres_own_top_speed():
    assert "at 210 km/h (load index 86H)" in load(tyre(), top_speed_kmh=230).words


def test_an_unknown_top_speed_takes_the_least_that_the_tyre_carries():
    assert (
        "may carry 559 kg at 240 km/h" in load(sized("185/70 R 15 91V"), top_speed_kmh=None).words
    )


@pytest.mark.parametrize(
    ("text", "car_kmh", "outcome"),
    [
        ("185/70 VR 15", 200, SUITS),
        ("185/70 VR 15", 210, SUITS),
        ("185/70 VR 15", 225, CANNOT_TELL),
        ("185/70 VR 15", None, CANNOT_TELL),
        ("165 HR 15", 205, SUITS),
        ("165 SR 15", None, SUITS),
        ("165 R 15", 205, SUITS),
        ("165 R 15", 220, CANNOT_TELL),
        ("165 R 15", None, CANNOT_TELL),
        ("205/55 ZR 16 (91Y)", 300, SUITS),
        ("205/55 ZR 16 (91Y)", 310, CANNOT_TELL),
    ],
)
def test_an_index_without_a_figure_for_speed(text, car_kmh, outcome):
    index = {"load_index": 91}
    assert load(sized(text, **index), top_speed_kmh=car_kmh).outcome is outcome


def test_the_index_inside_the_size_speaks_with_its_own_symbol():
    bare = sized("185/70 R 15 91V", speed="")
    assert "559 kg at 240 km/h (load index 91V)" in load(bare, top_speed_kmh=240).words


def test_a_ply_rating_is_no_load():
    found = load(sized("5.60-15", ply=4))
    assert (found.outcome, found.look_at) == (CANNOT_TELL, "the tyre maker's load table")
    assert "it has a ply rating (4 PR) and no load index" in found.words


def test_what_the_maker_states_stands_in_for_an_index():
    found = load(sized("5.60-15", ply=4, load_kg=410, load_pressure_kpa=190))
    assert found.outcome is SUITS
    assert "may carry 410 kg at 190 kPa by its maker's statement" in found.words
    assert load(sized("5.60-15", load_kg=340)).outcome is REFUSED


def test_of_index_and_statement_the_lesser_counts():
    assert "may carry 340 kg" in load(tyre(load_kg=340)).words
    assert "may carry 530 kg" in load(tyre(load_kg=600)).words


@pytest.mark.parametrize("missing", [{"axle_load_kg": None}, {"wheels": None}, {"wheels": 0}])
def test_without_the_axle_load_nothing_can_be_told(missing):
    found = load(tyre(), **missing)
    assert found.outcome is CANNOT_TELL
    assert "axle load" in found.look_at


def test_twin_wheels_go_by_the_second_index():
    twins = {"wheels": 4, "axle_load_kg": 3300}
    assert "load index 100R" in load(sized("185 R 14 C 102/100 R"), **twins).words
    found = load(sized("185 R 14 C 102/100 R", load_index_dual=None), **twins)
    assert found.outcome is CANNOT_TELL
    assert "no load index for twin wheels" in found.words


def test_an_index_that_no_table_has():
    assert load(tyre(load_index=999)).outcome is CANNOT_TELL


def least(index: int):
    return (fitted(least_load_index=index),)


@pytest.mark.parametrize(("asked", "outcome"), [(84, SUITS), (86, SUITS), (87, REFUSED)])
def test_the_listing_may_ask_for_an_index(asked, outcome):
    assert load(tyre(), fitted=least(asked)).outcome is outcome


def test_a_listing_that_asks_for_more_is_named():
    words = load(tyre(), fitted=least(88)).words
    assert words == (
        "The tyre carries too little: the car's listing asks for load index 88 (560 kg) at least, "
        "and the tyre has 86."
    )


def test_a_stated_load_is_held_against_the_index_asked_for():
    plies = sized("5.60-15", load_kg=480)
    assert load(plies, fitted=least(82)).outcome is SUITS
    assert load(plies, fitted=least(83)).outcome is REFUSED
    assert load(sized("5.60-15"), fitted=least(83)).outcome is CANNOT_TELL


def test_without_the_axle_load_the_listing_gives_no_better_than_a_caution():
    found = load(tyre(), fitted=least(84), axle_load_kg=None)
    assert found.outcome is CAUTION
    assert "the axle load itself is not known" in found.words
    assert load(tyre(), fitted=least(88), axle_load_kg=None).outcome is REFUSED


def test_a_listing_with_an_index_that_no_table_has_asks_for_nothing():
    assert load(tyre(), fitted=least(990)).outcome is SUITS


def test_pressure_stated_for_this_very_size():
    found = at_pressure(tyre())
    assert found.outcome is SUITS
    assert "180 kPa is stated for this axle (handbook, page 14), for this very size" in found.words


def test_pressure_as_high_as_the_reference():
    assert at_pressure(tyre(), pressures=(pressure(250),)).outcome is SUITS


def test_the_highest_stated_pressure_is_taken():
    two = (pressure(180, when="normal"), pressure(210, when="laden"))
    assert "210 kPa (laden)" in at_pressure(tyre(), pressures=two).words


def test_pressure_unknown_is_a_caution():
    found = at_pressure(tyre(), pressures=())
    assert found.outcome is CAUTION
    assert "a load holds only at its pressure" in found.words


def test_pressure_stated_for_another_size_only():
    found = at_pressure(sized("185/70 R 15 88H"))
    assert found.outcome is CAUTION
    assert "stated only for 165 R 15" in found.words


def test_a_low_pressure_for_any_size_is_a_caution():
    anywhere = pressure(180, keys=frozenset(), size="")
    assert at_pressure(tyre(), pressures=(anywhere,)).outcome is CAUTION


def test_a_stated_load_holds_at_its_own_pressure():
    stated = {"load_kg": 400, "load_index": None}
    assert at_pressure(tyre(load_pressure_kpa=180, **stated)).outcome is SUITS
    low = at_pressure(tyre(load_pressure_kpa=220, **stated))
    assert low.outcome is CAUTION
    assert "ask the tyre's maker what it carries at 180 kPa" in low.words
    assert at_pressure(tyre(**stated)).outcome is CAUTION


def test_a_reinforced_tyre_has_a_higher_reference():
    strong = sized("185/70 R 15 91H XL")
    anywhere = pressure(260, keys=frozenset())
    assert "about 290 kPa" in at_pressure(strong, pressures=(anywhere,)).words


def test_nothing_is_said_of_pressure_where_no_load_is_known():
    assert [each.point for each in judge_load(sized("5.60-15"), spot(), terms())] == [""]
