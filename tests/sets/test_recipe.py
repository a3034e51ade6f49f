"""Recipes that cannot be meant are refused, with a sentence that says what to change."""

from __future__ import annotations

import pytest

from inventory.sets import Anchor, BadRecipe, Companion, Recipe, RecipePlace


def front(**changes):
    return RecipePlace(**{"name": "front", "skus": ("A",), "count": 2, **changes})


def rear(**changes):
    return RecipePlace(**{"name": "rear", "skus": ("B",), "count": 2, **changes})


BAD = [
    ({"places": ()}, "at least one place"),
    ({"places": (front(), front())}, "same name"),
    ({"places": (front(count=0),)}, "front: 0 tyres asked for; a place takes 1 to 6"),
    ({"places": (front(count=7),)}, "front: 7 tyres asked for"),
    ({"places": (front(count=0, left=4, right=3),)}, "front: 7 tyres asked for"),
    ({"places": (front(count=-1),)}, "cannot be negative"),
    ({"places": (front(count=2, left=1, right=1),)}, "not both"),
    ({"places": (front(skus=()),)}, "at least one SKU"),
    ({"places": (front(tolerance_weeks=-1),)}, "front: the tolerance is -1 weeks"),
    ({"places": (front(),), "car_tolerance_weeks": -2}, "round the car is -2 weeks"),
    (
        {"places": (front(tolerance_weeks=30), rear()), "car_tolerance_weeks": 26},
        "front: 30 weeks on the axle is wider than 26 weeks round the car",
    ),
    ({"places": (front(), rear(joins="middle"))}, "“middle” is not an axle here"),
    ({"places": (front(joins="front"),)}, "“front” is not an axle here"),
    ({"places": (front(joins="rear"), rear(joins="front"))}, "is not an axle here"),
    ({"places": (front(), rear(joins="front", apart=True))}, "cannot both match"),
    ({"places": (front(), rear(skus=("A",), apart=True))}, "neither can stand apart"),
    ({"places": (front(), rear(skus=("A",), marks=("K1",)))}, "name the same marks"),
    ({"places": (front(), rear(skus=("A",), same_delivery=True))}, "one delivery on both"),
    ({"places": (front(),), "anchors": (Anchor("front"),)}, "neither a week nor a delivery"),
    ({"places": (front(),), "companions": (Companion("T", per_tyre=0),)}, "1 or more"),
    (
        {"places": (front(),), "companions": (Companion("T", places=("rear",)),)},
        "“rear” is not a place of this recipe",
    ),
]


@pytest.mark.parametrize(("recipe", "sentence"), BAD, ids=[sentence for _, sentence in BAD])
def test_a_recipe_that_cannot_be_meant_is_refused(recipe, sentence):
    with pytest.raises(BadRecipe, match=sentence):
        Recipe(**recipe)


def test_a_wide_tolerance_of_a_single_tyre_is_no_contradiction():
    Recipe((front(count=1, tolerance_weeks=60),), car_tolerance_weeks=52)


def test_companions_of_a_set_are_added_up_by_sku():
    recipe = Recipe(
        (front(), rear()),
        companions=(
            Companion("tube"),
            Companion("tape", places=("rear",), per_tyre=2),
            Companion("tube", places=("rear",)),
            Companion("valve", must=False),
        ),
    )
    assert recipe.companions_per_set() == {"tube": 6, "tape": 4}


def test_a_joined_place_takes_the_sku_of_its_axle_unless_it_has_its_own():
    spare, own = (
        RecipePlace("spare", count=1, joins="front"),
        RecipePlace("second spare", ("C",), count=1, joins="front"),
    )
    recipe = Recipe((front(), spare, own))
    assert recipe.skus_at(spare) == ("A",)
    assert recipe.skus_at(own) == ("C",)
    assert recipe.axle_of("second spare") == front()
    assert recipe.tyres == 4
