"""A recipe that is kept as JSON is the same recipe when it is recalled."""

from __future__ import annotations

import json

import pytest

from inventory.activities import recipes
from inventory.sets.recipe import Anchor, Companion, Match, Prefer, Recipe, RecipePlace
from inventory.sets.validity import BadRecipe

PLAIN = Recipe((RecipePlace("front", (7,), 2), RecipePlace("rear", (7, 8), 2)))
RICH = Recipe(
    (
        RecipePlace("front", (7, 9), left=1, right=1, tolerance_weeks=8, marks=("HLM issue 2",)),
        RecipePlace("rear", (8,), 2, tolerance_weeks=None, same_delivery=True),
        RecipePlace("spare", (), 1, joins="front"),
    ),
    car_tolerance_weeks=None,
    oldest_week=1400,
    allow_undated=True,
    prefer=Prefer.NEWEST,
    mark=Match.CAR,
    sidewall=Match.FREE,
    anchors=(Anchor("front", week=1500, sku=7, mark="HLM issue 2"),),
    companions=(Companion(31, 1, True, ("front", "rear")), Companion(32, 2, False)),
)


@pytest.mark.parametrize("recipe", [PLAIN, RICH], ids=["plain", "rich"])
def test_recalled_as_it_was_kept(recipe):
    assert recipes.recalled(json.loads(json.dumps(recipes.kept(recipe)))) == recipe


def test_what_is_no_recipe_is_refused():
    with pytest.raises(BadRecipe):
        recipes.recalled({"places": []})
