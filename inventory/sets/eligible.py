"""Which lots may be used at all, and why the others may not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from inventory.sets.recipe import Lot, Recipe, Sku

TOO_OLD = "too old"
NO_DATE = "no date, so it cannot be shown to be young enough"
OTHER_MARK = "the mark on it is not one that was asked for"


def marks_by_sku(recipe: Recipe) -> dict[Sku, tuple[str, ...]]:
    """The SKUs that the recipe takes, each with its acceptable marks (empty: any)."""
    taken: dict[Sku, tuple[str, ...]] = {}
    for place in recipe.places:
        axle = recipe.axle_of(place.name)
        for sku in recipe.skus_at(place):
            taken[sku] = axle.marks if axle else ()
    return taken


def fault(recipe: Recipe, lot: Lot, marks: tuple[str, ...]) -> str:
    """Why this lot cannot be used for the recipe, whatever else there is; "" if it can."""
    if recipe.oldest_week is not None:
        if lot.week is None:
            if not recipe.allow_undated:
                return NO_DATE
        elif lot.week < recipe.oldest_week:
            return TOO_OLD
    if marks and lot.mark not in marks:
        return OTHER_MARK
    return ""


def usable(recipe: Recipe, lots: Iterable[Lot]) -> list[Lot]:
    """Lots of the recipe's SKUs that may be used."""
    marks = marks_by_sku(recipe)
    return [
        lot
        for lot in lots
        if lot.quantity > 0 and lot.sku in marks and not fault(recipe, lot, marks[lot.sku])
    ]


def excluded(recipe: Recipe, lots: Iterable[Lot]) -> Iterator[tuple[Lot, str]]:
    """Lots of the recipe's SKUs that may not be used, each with the reason."""
    marks = marks_by_sku(recipe)
    for lot in lots:
        if lot.quantity > 0 and lot.sku in marks:
            reason = fault(recipe, lot, marks[lot.sku])
            if reason:
                yield lot, reason
