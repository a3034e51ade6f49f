"""Why there are fewer sets than the pieces suggest, in words."""

from __future__ import annotations

import pytest

from inventory.sets import Anchor, Companion, Lot, Match, Recipe, RecipePlace, promise

PAIR = (RecipePlace("rear", ("A",), 2),)
BOTH = (RecipePlace("front", ("F",), 2), RecipePlace("rear", ("A",), 2))
HANDED = (RecipePlace("front", ("A",), left=1, right=1),)


def lots(*entries, sku="A", **rest):
    return [
        Lot((sku, n, week, *map(str, rest.values())), sku, week, number, **rest)
        for n, (week, number) in enumerate(entries)
    ]


REASONS = {
    "dates": (
        Recipe(PAIR),
        lots((0, 1), (30, 1), (60, 1), (90, 1), (120, 1)),
        "5 for rear, but no two within 26 weeks",
    ),
    "some dates": (
        Recipe(PAIR),
        lots((0, 2), (30, 1), (60, 1)),
        "4 for rear, but within 26 weeks they make only one set",
    ),
    "undated": (
        Recipe(PAIR),
        lots((None, 1), delivery="d1") + lots((None, 1), delivery="d2"),
        "without a date, so matched only within their delivery: 2",
    ),
    "old": (Recipe(PAIR, oldest_week=50), lots((10, 3), (60, 2)), "too old: 3"),
    "no date under an age limit": (
        Recipe(PAIR, oldest_week=50),
        lots((None, 2)),
        "without a date, so not shown to be young enough: 2",
    ),
    "fronts short": (
        Recipe(BOTH),
        lots((0, 2)) + lots((0, 1), sku="F"),
        "front short: 1 in stock, a set takes 2",
    ),
    "marks": (
        Recipe(PAIR),
        lots((0, 1), mark="K1") + lots((0, 1), mark="K2"),
        "the marks differ, and have to be the same on an axle",
    ),
    "marks round the car": (
        Recipe(BOTH, mark=Match.CAR),
        lots((0, 2), mark="K1") + lots((0, 2), sku="F", mark="K2"),
        "the marks differ, and have to be the same round the car",
    ),
    "pattern issues": (
        Recipe(PAIR),
        lots((0, 1), pattern_issue="1") + lots((0, 1), pattern_issue="2"),
        "the pattern issues differ, and have to be the same on an axle",
    ),
    "sidewalls": (
        Recipe(PAIR),
        lots((0, 1), sidewall="plain") + lots((0, 1), sidewall="band"),
        "the sidewalls differ, and have to be the same on an axle",
    ),
    "another mark": (
        Recipe((RecipePlace("rear", ("A",), 2, marks=("K1",)),)),
        lots((0, 4), mark="K2") + lots((0, 1), mark="K1"),
        "with “K1”: only 1",
    ),
    "no mark wanted": (
        Recipe((RecipePlace("rear", ("A",), 2, marks=("",)),)),
        lots((0, 4), mark="K2"),
        "with no mark: only 0",
    ),
    "left": (
        Recipe(HANDED),
        lots((0, 1), side="left") + lots((0, 5), side="right"),
        "front: left ones are short, 1 left and 5 right",
    ),
    "right": (
        Recipe(HANDED),
        lots((0, 4), side="left"),
        "front: right ones are short, 4 left and 0 right",
    ),
    "different SKUs": (
        Recipe((RecipePlace("rear", ("A", "B"), 2),)),
        lots((0, 1)) + lots((0, 1), sku="B"),
        "the pieces are of different SKUs, and an axle takes one",
    ),
    "one delivery": (
        Recipe((RecipePlace("rear", ("A",), 2, same_delivery=True),)),
        lots((0, 1), delivery="d1") + lots((0, 1), delivery="d2"),
        "rear: too few of one delivery",
    ),
    "round the car": (
        Recipe(BOTH, car_tolerance_weeks=52),
        lots((0, 2)) + lots((60, 2), sku="F"),
        "too few axles within 52 weeks of each other round the car",
    ),
    "anchor": (
        Recipe(PAIR, anchors=(Anchor("rear", week=100),)),
        lots((0, 2)),
        "too few go with the tyres on the car",
    ),
    "anchors apart": (
        Recipe(PAIR, anchors=(Anchor("rear", week=0), Anchor("rear", week=40))),
        lots((20, 2)),
        "the tyres on the car are themselves too far apart in weeks",
    ),
    "nothing there": (Recipe(PAIR), [], "rear short: 0 in stock, a set takes 2"),
}


@pytest.mark.parametrize("name", REASONS)
def test_the_reason_names_what_took_the_sets_away(name):
    recipe, shelf, reason = REASONS[name]
    assert promise(recipe, shelf).reason == reason


def test_companions_that_are_short_are_named_with_what_there_is():
    recipe = Recipe(PAIR, companions=(Companion("tube"),))
    found = promise(recipe, lots((0, 6)), companions_stock={"tube": 3})
    assert found.sets == 1
    assert found.reason == "tube: only 3, a set takes 2"
    assert found.bound == 1


def test_companions_are_not_counted_where_their_stock_is_not_given():
    recipe = Recipe(PAIR, companions=(Companion("tube"),))
    assert promise(recipe, lots((0, 6))).sets == 3


def test_what_may_go_along_never_bounds():
    recipe = Recipe(PAIR, companions=(Companion("valve", must=False),))
    assert promise(recipe, lots((0, 6)), companions_stock={}).sets == 3


def test_no_reason_is_given_where_all_pieces_make_sets():
    found = promise(Recipe(PAIR), lots((0, 4)))
    assert (found.sets, found.naive, found.reason) == (2, 2, "")


def test_only_rules_that_cost_sets_are_named():
    shelf = lots((0, 2), mark="K1") + lots((40, 2), mark="K2")
    assert promise(Recipe(PAIR), shelf).reason == ""


def test_several_rules_are_all_named():
    shelf = lots((0, 1), (40, 1), (80, 1), mark="K1") + lots((0, 1), mark="K2")
    reason = promise(Recipe(PAIR), shelf).reason
    assert "the marks differ" in reason
    assert "no two within 26 weeks" in reason


def test_the_pieces_of_an_sku_shared_by_two_places_are_counted_once():
    recipe = Recipe((RecipePlace("front", ("A",), 2), RecipePlace("rear", ("A",), 2)))
    found = promise(recipe, lots((0, 6)))
    assert found.pieces == {"front": 6, "rear": 6}
    assert (found.naive, found.sets) == (1, 1)


def test_lots_that_are_refused_are_listed_with_the_reason():
    shelf = lots((10, 3), (60, 3))
    found = promise(Recipe(PAIR, oldest_week=50), shelf)
    assert found.excluded == ((shelf[0].key, "too old"),)
    assert found.left_over == ((shelf[1].key, 1),)
