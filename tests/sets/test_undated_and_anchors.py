"""Tyres without a date, tyres already on the car, spares that stand apart."""

from __future__ import annotations

from inventory.sets import Anchor, Lot, Match, Recipe, RecipePlace, count_sets, promise

PAIR = (RecipePlace("rear", ("A",), 2),)
BOTH = (RecipePlace("front", ("F",), 2), RecipePlace("rear", ("A",), 2))


def sets(recipe, *lots):
    return count_sets(recipe, lots).sets


def test_undated_tyres_match_within_their_delivery_only():
    one = Lot(1, "A", None, 1, delivery="d1")
    same = Lot(2, "A", None, 1, delivery="d1")
    other = Lot(3, "A", None, 1, delivery="d2")
    assert sets(Recipe(PAIR), one, same) == 1
    assert sets(Recipe(PAIR), one, other) == 0


def test_undated_tyres_are_never_mixed_with_dated_ones():
    undated = Lot(1, "A", None, 1, delivery="d1")
    dated = Lot(2, "A", 5, 1, delivery="d1")
    assert sets(Recipe(PAIR), undated, dated) == 0


def test_a_lot_of_unknown_delivery_matches_itself_alone():
    assert sets(Recipe(PAIR), Lot(1, "A", None, 2)) == 1
    assert sets(Recipe(PAIR), Lot(1, "A", None, 1), Lot(2, "A", None, 1)) == 0


def test_round_the_car_undated_tyres_need_the_same_delivery_too():
    recipe = Recipe(BOTH, car_tolerance_weeks=52)
    front = Lot(1, "F", None, 2, delivery="d1")
    assert sets(recipe, front, Lot(2, "A", None, 2, delivery="d1")) == 1
    assert sets(recipe, front, Lot(2, "A", None, 2, delivery="d2")) == 0
    assert sets(recipe, front, Lot(2, "A", 5, 2, delivery="d1")) == 0
    assert sets(Recipe(BOTH), front, Lot(2, "A", 5, 2)) == 1


def test_under_an_age_limit_undated_tyres_need_an_explicit_word():
    lot = Lot(1, "A", None, 2)
    assert sets(Recipe(PAIR, oldest_week=3), lot) == 0
    assert sets(Recipe(PAIR, oldest_week=3, allow_undated=True), lot) == 1


def test_an_anchor_joins_the_window_of_its_axle():
    recipe = Recipe(
        (RecipePlace("rear", ("A",), 2, tolerance_weeks=10),), anchors=(Anchor("rear", week=20),)
    )
    assert sets(recipe, Lot(1, "A", 10, 1), Lot(2, "A", 20, 1)) == 1
    assert sets(recipe, Lot(1, "A", 10, 1), Lot(2, "A", 21, 1)) == 0
    assert sets(recipe, Lot(1, "A", 30, 2)) == 1
    assert sets(recipe, Lot(1, "A", 31, 2)) == 0


def test_an_anchor_on_another_axle_counts_round_the_car_only():
    recipe = Recipe(
        PAIR, car_tolerance_weeks=52, mark=Match.AXLE, anchors=(Anchor("front", 0, mark="K9"),)
    )
    assert sets(recipe, Lot(1, "A", 52, 2, mark="K1")) == 1
    assert sets(recipe, Lot(1, "A", 53, 2, mark="K1")) == 0


def test_the_mark_on_the_car_decides_where_it_is_the_same_round_the_car():
    recipe = Recipe(PAIR, mark=Match.CAR, anchors=(Anchor("front", week=0, mark="K9"),))
    assert sets(recipe, Lot(1, "A", 52, 2, mark="K1"), Lot(2, "A", 52, 2, mark="K9")) == 1


def test_the_sku_on_the_car_decides_among_alternatives():
    recipe = Recipe(
        (RecipePlace("rear", ("A", "B"), 1),), anchors=(Anchor("rear", week=0, sku="B"),)
    )
    assert sets(recipe, Lot(1, "A", 0, 1)) == 0
    assert sets(recipe, Lot(1, "B", 0, 1)) == 1


def test_an_undated_tyre_on_the_car_is_matched_by_its_delivery():
    recipe = Recipe((RecipePlace("rear", ("A",), 1),), anchors=(Anchor("rear", delivery="d1"),))
    assert sets(recipe, Lot(1, "A", None, 1, delivery="d1")) == 1
    assert sets(recipe, Lot(1, "A", None, 1, delivery="d2"), Lot(2, "A", 5, 1)) == 0


def test_one_front_to_match_and_two_rears_of_the_same_sku_share_the_shelf():
    recipe = Recipe(
        (
            RecipePlace("front", ("A",), 1, tolerance_weeks=4),
            RecipePlace("rear", ("A",), 2, tolerance_weeks=4),
        ),
        anchors=(Anchor("front", week=20),),
    )
    assert sets(recipe, Lot(1, "A", 20, 3)) == 1
    assert sets(recipe, Lot(1, "A", 20, 1), Lot(2, "A", 60, 2)) == 1
    assert sets(recipe, Lot(1, "A", 60, 3)) == 0


def test_a_spare_that_stands_apart_has_its_own_mark_and_age():
    places = (*BOTH, RecipePlace("spare", ("S",), 1, apart=True))
    recipe = Recipe(places, car_tolerance_weeks=26, mark=Match.CAR)
    shelf = (Lot(1, "F", 90, 2, mark="K1"), Lot(2, "A", 95, 2, mark="K1"), Lot(3, "S", 1, 1))
    assert sets(recipe, *shelf) == 1
    with_it = (*BOTH, RecipePlace("spare", ("S",), 1))
    assert sets(Recipe(with_it, car_tolerance_weeks=26, mark=Match.CAR), *shelf) == 0


def test_alternatives_serve_an_axle_one_at_a_time_and_add_up():
    recipe = Recipe((RecipePlace("rear", ("A", "B"), 2),))
    lots = [Lot(1, "A", 0, 3), Lot(2, "B", 0, 3)]
    assert promise(recipe, lots).sets == 2


def test_lots_of_other_skus_and_empty_lots_are_ignored():
    found = promise(Recipe(PAIR), [Lot(1, "Z", 0, 9), Lot(2, "A", 0, 0), Lot(3, "A", 0, 2)])
    assert found.sets == 1
    assert found.left_over == ()
