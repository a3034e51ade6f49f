"""The judge of finished sets: each fault is found, and nothing else is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from inventory.sets import Anchor, Lot, Match, Recipe, RecipePlace, check_set

FOUR = Recipe(
    (
        RecipePlace("front", ("F",), 2, tolerance_weeks=10),
        RecipePlace("rear", ("R", "S"), 2, tolerance_weeks=10),
    ),
    car_tolerance_weeks=20,
    oldest_week=5,
)
SHELF = {
    lot.key: lot
    for lot in (
        Lot("f", "F", 10, 2, delivery="d1", mark="K1"),
        Lot("f2", "F", 20, 1, delivery="d2", mark="K1"),
        Lot("r", "R", 12, 2, delivery="d1", mark="K2"),
        Lot("s", "S", 12, 1, delivery="d1", mark="K2"),
    )
}
GOOD = {"front": [("f", 2)], "rear": [("r", 2)]}


def faults(recipe=FOUR, assignment=GOOD, **changes):
    shelf = {**SHELF, **{key: replace(SHELF[key], **change) for key, change in changes.items()}}
    return check_set(recipe, assignment, shelf.values())


def test_a_good_set_has_no_faults():
    assert faults() == []


@pytest.mark.parametrize(
    ("assignment", "changes", "fault"),
    [
        ({"front": [("f", 2)]}, {}, "rear: 0 tyres, 2 wanted."),
        ({**GOOD, "front": [("f", 3)]}, {}, "Lot f: 3 taken, 2 free."),
        ({**GOOD, "front": [("gone", 2)]}, {}, "Lot gone is not on the shelf."),
        ({**GOOD, "boot": [("s", 1)]}, {}, "boot: not a place of this recipe."),
        ({**GOOD, "rear": [("f2", 1), ("r", 1)]}, {}, "rear: an SKU that was not asked for."),
        ({**GOOD, "rear": [("s", 1), ("r", 1)]}, {}, "rear: two SKUs on one axle."),
        (GOOD, {"f": {"week": 4}}, "front: a tyre is too old."),
        (GOOD, {"f": {"week": None}}, "front: a tyre has no date"),
        ({**GOOD, "front": [("f", 1), ("f2", 1)]}, {"f2": {"week": 21}}, "front: 11 weeks between"),
        ({**GOOD, "front": [("f", 1), ("f2", 1)]}, {"f2": {"mark": ""}}, "front: the marks differ"),
        (GOOD, {"r": {"week": 31}}, "Round the car: 21 weeks between"),
    ],
)
def test_each_fault_is_found(assignment, changes, fault):
    found = faults(assignment=assignment, **changes)
    assert any(sentence.startswith(fault) for sentence in found), found


def test_marks_round_the_car():
    assert faults(replace(FOUR, mark=Match.CAR)) == ["Round the car: the marks differ."]


def test_a_named_mark():
    places = (replace(FOUR.places[0], marks=("K7",)), FOUR.places[1])
    assert faults(replace(FOUR, places=places)) == ["front: a mark that was not asked for."]


def test_one_delivery():
    places = (replace(FOUR.places[0], same_delivery=True), FOUR.places[1])
    mixed = {**GOOD, "front": [("f", 1), ("f2", 1)]}
    assert faults(replace(FOUR, places=places), mixed) == ["front: not all of one delivery."]


def test_undated_tyres():
    recipe = replace(FOUR, oldest_week=None, car_tolerance_weeks=None)
    mixed = {**GOOD, "front": [("f", 1), ("f2", 1)]}
    one = faults(recipe, mixed, f={"week": None})
    assert one == ["front: dated and undated tyres together."]
    two = faults(recipe, mixed, f={"week": None}, f2={"week": None})
    assert two == ["front: undated tyres of different deliveries."]


def test_handed_places():
    recipe = Recipe((RecipePlace("front", ("F",), left=1, right=1),))
    sides = check_set(
        recipe, {"front": [(1, 2)]}, [Lot(1, "F", 5, 2, side="left"), Lot(2, "F", 5, 2)]
    )
    assert sides == ["front: 2 left and 0 right, 1 left and 1 right wanted."]


def test_what_is_on_the_car_counts():
    recipe = replace(FOUR, anchors=(Anchor("front", week=21, sku="G"),))
    assert faults(recipe) == [
        "front: two SKUs on one axle.",
        "front: 11 weeks between the oldest and the newest, 10 allowed.",
    ]


def test_a_joined_spare_is_judged_with_its_axle():
    spare = RecipePlace("spare", count=1, joins="front")
    recipe = replace(FOUR, places=(*FOUR.places, spare))
    assert faults(recipe, {**GOOD, "spare": [("f2", 1)]}) == []
    assert faults(recipe, {**GOOD, "spare": [("f2", 1)]}, f2={"mark": "K3"}) == [
        "front: the marks differ."
    ]
