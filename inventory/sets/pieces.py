"""What the pieces suggest: the count a stock sheet gives, blind to weeks, marks and sides."""

from __future__ import annotations

from collections.abc import Iterable

from inventory.sets.recipe import Lot, Recipe, RecipePlace, Sku


def pieces_by_sku(lots: Iterable[Lot]) -> dict[Sku, int]:
    """Free tyres by SKU."""
    pieces: dict[Sku, int] = {}
    for lot in lots:
        if lot.quantity > 0:
            pieces[lot.sku] = pieces.get(lot.sku, 0) + lot.quantity
    return pieces


def pieces_by_place(recipe: Recipe, lots: Iterable[Lot]) -> dict[str, int]:
    """Free tyres of the SKUs that will do, place by place."""
    pieces = pieces_by_sku(lots)
    return {
        place.name: sum(pieces.get(sku, 0) for sku in dict.fromkeys(recipe.skus_at(place)))
        for place in recipe.places
    }


def sets_by_place(recipe: Recipe, lots: Iterable[Lot]) -> dict[str, int]:
    """Sets that the pieces of each place suggest; places that share an SKU share its pieces."""
    pieces = pieces_by_sku(lots)
    suggested: dict[str, int] = {}
    for places in sharing_places(recipe):
        skus = {sku for place in places for sku in recipe.skus_at(place)}
        sets = sum(pieces.get(sku, 0) for sku in skus) // sum(place.tyres for place in places)
        suggested.update((place.name, sets) for place in places)
    return {place.name: suggested[place.name] for place in recipe.places}


def sets_by_pieces(recipe: Recipe, lots: Iterable[Lot]) -> int:
    """Sets that the pieces suggest: those of the shortest place."""
    return min(sets_by_place(recipe, lots).values())


def sharing_places(recipe: Recipe) -> list[list[RecipePlace]]:
    """Places in groups that draw on common SKUs."""
    groups: list[list[RecipePlace]] = []
    for place in recipe.places:
        skus = set(recipe.skus_at(place))
        joined = [
            group for group in groups if any(skus & {*recipe.skus_at(other)} for other in group)
        ]
        rest = [group for group in groups if group not in joined]
        groups = [*rest, [*(other for group in joined for other in group), place]]
    return groups
