"""The best lots for one order."""

from __future__ import annotations

import pytest

from inventory.sets import (
    Anchor,
    Companion,
    Lot,
    Match,
    Prefer,
    Recipe,
    RecipePlace,
    check_set,
    choose,
    promise,
)
from tests.sets.brute import Brute
from tests.sets.cases import small_case

PAIR = Recipe((RecipePlace("rear", ("A",), 2),))
STAGGERED = Recipe((RecipePlace("front", ("F",), 2), RecipePlace("rear", ("A",), 2)))


def lot(key, week, number=1, sku="A", **rest):
    return Lot(key, sku, week, number, **rest)


def test_the_oldest_acceptable_stock_goes_first():
    shelf = [lot("new", 90, 4), lot("old", 40, 2), lot("ancient", 1, 1)]
    assert choose(PAIR, shelf).chosen.by_lot() == {"old": 2}


def test_the_newest_goes_first_where_that_is_preferred():
    recipe = Recipe(PAIR.places, prefer=Prefer.NEWEST)
    shelf = [lot("new", 90, 4), lot("old", 40, 2)]
    assert choose(recipe, shelf).chosen.by_lot() == {"new": 2}


def test_nothing_over_age_is_chosen():
    recipe = Recipe(PAIR.places, oldest_week=41)
    assert choose(recipe, [lot("new", 90, 4), lot("old", 40, 2)]).chosen.by_lot() == {"new": 2}


def test_among_the_same_age_the_fewest_places_are_walked_to():
    shelf = [
        lot("a", 5, 1, place="1-1", walk=1),
        lot("b", 5, 1, place="1-2", walk=2),
        lot("c", 5, 2, place="9-9", walk=99),
    ]
    assert choose(PAIR, shelf).chosen.by_lot() == {"c": 2}


def test_one_place_that_holds_fronts_and_rears_saves_a_walk():
    shelf = [
        lot("f1", 5, 2, sku="F", place="1-1", walk=1),
        lot("f2", 5, 2, sku="F", place="7-7", walk=77),
        lot("r", 5, 2, place="7-7", walk=77),
    ]
    assert choose(STAGGERED, shelf).chosen.by_lot() == {"f2": 2, "r": 2}


def test_among_as_many_places_the_first_in_walking_order():
    shelf = [lot("far", 5, 2, place="9-9", walk=99), lot("near", 5, 2, place="1-1", walk=1)]
    assert choose(PAIR, shelf).chosen.by_lot() == {"near": 2}


def test_a_mark_of_the_same_age_in_fewer_places_wins():
    shelf = [
        lot("a", 5, 1, mark="K1", place="1-1", walk=1),
        lot("b", 5, 1, mark="K1", place="1-2", walk=2),
        lot("c", 5, 2, mark="K2", place="9-9", walk=99),
    ]
    assert choose(PAIR, shelf).chosen.by_lot() == {"c": 2}


def test_picks_are_told_in_walking_order_with_the_companions():
    recipe = Recipe(STAGGERED.places, companions=(Companion("tube"),))
    shelf = [
        lot("f", 5, 2, sku="F", place="9-9", walk=99),
        lot("r", 5, 2, place="1-1", walk=1),
    ]
    chosen = choose(recipe, shelf, companions_stock={"tube": 4})
    assert [(pick.place, pick.lot, pick.quantity) for pick in chosen.picks] == [
        ("1-1", "r", 2),
        ("9-9", "f", 2),
    ]
    assert chosen.companions == (("tube", 4),)
    assert chosen.chosen.by_place() == {"front": (("f", 2),), "rear": (("r", 2),)}


def test_without_companions_there_is_no_set_and_the_reason_is_said():
    recipe = Recipe(PAIR.places, companions=(Companion("tube"),))
    chosen = choose(recipe, [lot("a", 5, 2)], companions_stock={"tube": 1})
    assert not chosen
    assert chosen.reason == "tube: only 1, a set takes 2"


def test_no_set_comes_with_the_reason():
    chosen = choose(PAIR, [lot("a", 0), lot("b", 90)])
    assert not chosen
    assert chosen.reason == "2 for rear, but no two within 26 weeks"


def test_one_more_to_match_what_is_on_the_car():
    recipe = Recipe(
        (RecipePlace("rear", ("A",), 1),), anchors=(Anchor("rear", week=50, mark="K1"),)
    )
    shelf = [
        lot("too old", 20, mark="K1"),
        lot("fits", 30, mark="K1"),
        lot("other mark", 24, mark="K2"),
    ]
    assert choose(recipe, shelf).chosen.by_lot() == {"fits": 1}


def test_the_spare_goes_with_its_axle():
    recipe = Recipe((RecipePlace("front", ("A",), 2), RecipePlace("spare", count=1, joins="front")))
    shelf = [lot("k1", 5, 2, mark="K1"), lot("k2", 6, 3, mark="K2")]
    assert choose(recipe, shelf).chosen.by_place() == {
        "front": (("k2", 2),),
        "spare": (("k2", 1),),
    }


def test_the_same_shelf_gives_the_same_choice():
    for kind in ("four", "alternatives_four", "handed_four"):
        for seed in range(20):
            recipe, lots = small_case(kind, seed)
            assert choose(recipe, lots) == choose(recipe, list(lots))


SLACK_SHELF = [
    lot("a", 5, 1, place="1-1", walk=1),
    lot("b", 5, 1, place="1-2", walk=2),
    lot("c", 10, 2, place="9-9", walk=99),
]


@pytest.mark.parametrize(
    ("slack", "taken"), [(0, {"a": 1, "b": 1}), (4, {"a": 1, "b": 1}), (5, {"c": 2})]
)
def test_somewhat_younger_tyres_may_save_a_walk(slack, taken):
    assert choose(PAIR, SLACK_SHELF, slack_weeks=slack).chosen.by_lot() == taken


@pytest.mark.parametrize("kind", ["pair", "four", "staggered", "alternatives", "handed_pair"])
def test_slack_finds_the_fewest_places_within_it(kind):
    saved = 0
    for seed in range(60):
        recipe, lots = small_case(kind, f"slack {seed}")
        brute = Brute(recipe, lots)
        if not brute.sets:
            continue
        limit = brute.best()[0] + 2 * recipe.tyres
        ranks = [brute.rank(one) for one in brute.sets]
        best = min((places, weeks, stops) for weeks, places, stops in ranks if weeks <= limit)
        saved += best[0] < brute.best()[1]
        chosen = choose(recipe, lots, slack_weeks=2)
        weeks, places, stops = brute.rank(brute.of(chosen.chosen.by_lot()))
        if places == brute.best()[1]:  # nothing to save: the oldest
            assert (weeks, places, stops) == brute.best()
            assert best[0] == places
        else:
            assert (places, weeks, stops) == best
        assert check_set(recipe, chosen.chosen.by_place(), lots) == []
    assert saved


def test_a_lot_of_two_hundred_is_dealt_set_by_set():
    recipe = Recipe(
        (RecipePlace("front", ("A",), 2), RecipePlace("rear", ("A",), 2)), mark=Match.CAR
    )
    found = promise(recipe, [lot("big", 5, 203)])
    assert found.sets == len(found.blocks) == 50
    assert found.left_over == (("big", 3),)
