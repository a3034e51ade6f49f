"""Left and right builds: two SKUs on the shelf, one tyre to a recipe that asks for both sides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from inventory.sets.recipe import Recipe, RecipePlace, Sku


@dataclass(frozen=True, slots=True)
class TyreFact:
    """What matters here of one SKU. ``build``: all that two hands of one tyre have in common."""

    sku_id: int
    code: str
    hand: str
    sidewall: str
    band_mm: int | None
    price: Decimal | None
    currency: str
    build: str

    @property
    def dress(self) -> str:
        """The sidewall with the width of its band, as matching compares it."""
        return f"{self.sidewall} {self.band_mm or ''}".strip()


Same = Mapping[Sku, Sku]
"""By SKU, the one that stands for all hands of its build."""


def hands_of_one(recipe: Recipe, tyres: Mapping[int, TyreFact]) -> Same:
    """For the places that ask for left and right: which SKUs are the two hands of one build."""
    first: dict[str, Sku] = {}
    return {
        sku: first.setdefault(tyres[int(sku)].build, sku)
        for place in recipe.places
        if place.handed
        for sku in recipe.skus_at(place)
    }


def as_one(recipe: Recipe, same: Same) -> Recipe:
    """The recipe with the hands of one build named by one SKU."""
    if not same:
        return recipe
    places = tuple(
        replace(place, skus=tuple(dict.fromkeys(same.get(sku, sku) for sku in place.skus)))
        for place in recipe.places
    )
    anchors = tuple(
        replace(anchor, sku=None if anchor.sku is None else same.get(anchor.sku, anchor.sku))
        for anchor in recipe.anchors
    )
    return replace(recipe, places=places, anchors=anchors)


def pieces_to_price(
    recipe: Recipe, place: RecipePlace, tyres: Mapping[int, TyreFact]
) -> list[tuple[TyreFact, int]]:
    """What a set takes for a place where nothing is chosen: the first SKU that would do."""
    facts = [tyres[int(sku)] for sku in recipe.skus_at(place)]
    if not place.handed:
        return [(facts[0], place.tyres)]
    sides = (("left", place.left), ("right", place.right))
    return [
        (next((fact for fact in facts if fact.hand == hand), facts[0]), count)
        for hand, count in sides
        if count
    ]
