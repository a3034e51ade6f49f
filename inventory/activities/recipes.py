"""What was asked for of a set, as holds, quotes and order lines keep it: a recipe as plain JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from inventory.sets.recipe import Anchor, Companion, Match, Prefer, Recipe, RecipePlace

_MATCHED = ("mark", "pattern_issue", "sidewall")


def kept(recipe: Recipe) -> dict[str, Any]:
    """The recipe as JSON keeps it; `recalled` makes the same recipe of it again."""
    return asdict(recipe)


def recalled(data: Mapping[str, Any]) -> Recipe:
    """The recipe that was kept. Raises ``BadRecipe`` where it was written by hand and is none."""
    told = dict(data)
    told["places"] = tuple(_place(one) for one in data["places"])
    told["anchors"] = tuple(Anchor(**one) for one in data.get("anchors", ()))
    told["companions"] = tuple(_companion(one) for one in data.get("companions", ()))
    told["prefer"] = Prefer(data.get("prefer", Prefer.OLDEST))
    for name in _MATCHED:
        told[name] = Match(data.get(name, Match.AXLE))
    return Recipe(**told)


def _place(data: Mapping[str, Any]) -> RecipePlace:
    lists = {name: tuple(data.get(name, ())) for name in ("skus", "marks")}
    return RecipePlace(**{**data, **lists})


def _companion(data: Mapping[str, Any]) -> Companion:
    return Companion(**{**data, "places": tuple(data.get("places", ()))})
