"""Matched sets: how many can be promised, and which tyres are best for one order. Pure."""

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
    "Companion",
    "Lot",
    "Match",
    "Prefer",
    "Recipe",
    "RecipePlace",
    "Side",
]
