"""Matched sets: how many can be promised, and which tyres are best for one order. Pure."""

from inventory.sets.answer import MatchedSet, PlaceTyres
from inventory.sets.check import check_set
from inventory.sets.choice import Choice, Pick, choose
from inventory.sets.promise import Count, Promise, count_sets, promise, promise_counts
from inventory.sets.reasons import explain
from inventory.sets.recipe import (
    HOUSE_TOLERANCE_WEEKS,
    Anchor,
    Companion,
    Lot,
    Match,
    Prefer,
    Recipe,
    RecipePlace,
    Side,
)
from inventory.sets.validity import BadRecipe

__all__ = [
    "HOUSE_TOLERANCE_WEEKS",
    "Anchor",
    "BadRecipe",
    "Choice",
    "Companion",
    "Count",
    "Lot",
    "Match",
    "MatchedSet",
    "Pick",
    "PlaceTyres",
    "Prefer",
    "Promise",
    "Recipe",
    "RecipePlace",
    "Side",
    "check_set",
    "choose",
    "count_sets",
    "explain",
    "promise",
    "promise_counts",
]
