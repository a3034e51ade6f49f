"""Recipes that cannot be meant are refused, with the sentence the user reads."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from inventory.sets.recipe import Recipe, RecipePlace

MOST_IN_ONE_PLACE = 6


class BadRecipe(ValueError):
    """The recipe contradicts itself, or asks for what no car takes. Says what to change."""


def refuse_bad_recipe(recipe: Recipe) -> None:
    """Raise `BadRecipe` with the first thing that is wrong."""
    for sentence in faults(recipe):
        raise BadRecipe(sentence)


def faults(recipe: Recipe) -> Iterator[str]:
    """Everything wrong with the recipe, a sentence each, in the order the form asks for it."""
    if not recipe.places:
        yield "A recipe needs at least one place: say which tyres are wanted."
        return
    names = [place.name for place in recipe.places]
    if len(set(names)) < len(names):
        yield "Two places have the same name: give each place its own."
    for place in recipe.places:
        yield from _place_faults(place, recipe)
    yield from _week_faults(recipe)
    for one, other in combinations(recipe.places, 2):
        yield from _sharing_faults(recipe, one, other)
    yield from _anchor_faults(recipe)
    yield from _companion_faults(recipe, names)


def _place_faults(place: RecipePlace, recipe: Recipe) -> Iterator[str]:
    name = place.name
    if place.handed and place.count:
        yield f"{name}: give either a count, or how many left and how many right, not both."
    if min(place.count, place.left, place.right) < 0:
        yield f"{name}: a number of tyres cannot be negative."
    if not 1 <= place.tyres <= MOST_IN_ONE_PLACE:
        yield f"{name}: {place.tyres} tyres asked for; a place takes 1 to {MOST_IN_ONE_PLACE}."
    if not place.skus and not place.joins:
        yield f"{name}: name at least one SKU that will do."
    if place.joins:
        yield from _joining_faults(place, recipe)


def _joining_faults(place: RecipePlace, recipe: Recipe) -> Iterator[str]:
    axle = next((other for other in recipe.places if other.name == place.joins), None)
    if axle is None or axle is place or axle.joins:
        yield f"{place.name}: “{place.joins}” is not an axle here, so it cannot be matched."
    if place.apart:
        yield f"{place.name}: it cannot both match “{place.joins}” and stand apart."


def _week_faults(recipe: Recipe) -> Iterator[str]:
    car = recipe.car_tolerance_weeks
    if car is not None and car < 0:
        yield f"The tolerance round the car is {car} weeks: it cannot be negative."
    for place in recipe.places:
        axle = place.tolerance_weeks
        if axle is None or place.joins:
            continue
        if axle < 0:
            yield f"{place.name}: the tolerance is {axle} weeks: it cannot be negative."
        elif car is not None and axle > car and place.tyres > 1 and not place.apart:
            yield (
                f"{place.name}: {axle} weeks on the axle is wider than {car} weeks round the car: "
                "widen the car's tolerance or narrow the axle's."
            )


def _sharing_faults(recipe: Recipe, one: RecipePlace, other: RecipePlace) -> Iterator[str]:
    """Places drawing on one SKU have to agree on what makes its tyres alike.

    This keeps the SKU's stock divided the same way for both, which the algorithms rest on.
    """
    shared = ", ".join(sorted(map(str, {*recipe.skus_at(one)} & {*recipe.skus_at(other)})))
    first, second = recipe.axle_of(one.name), recipe.axle_of(other.name)
    if not shared or first is None or second is None or first is second:
        return
    both = f"{one.name} and {other.name} both take {shared}"
    if first.same_delivery != second.same_delivery:
        yield f"{both}: ask for one delivery on both, or on neither."
    if set(first.marks) != set(second.marks):
        yield f"{both}: name the same marks for both."
    if first.apart or second.apart:
        yield f"{both}: neither can stand apart from the car."


def _anchor_faults(recipe: Recipe) -> Iterator[str]:
    for anchor in recipe.anchors:
        axle = recipe.axle_of(anchor.place)
        weeks_count = recipe.car_tolerance_weeks is not None or (
            axle is not None and (axle.tolerance_weeks is not None or axle.same_delivery)
        )
        if weeks_count and anchor.week is None and anchor.delivery is None:
            yield (
                f"The {anchor.place} tyre on the car has neither a week nor a delivery: "
                "give its date code, or leave it out of the match."
            )


def _companion_faults(recipe: Recipe, names: list[str]) -> Iterator[str]:
    for companion in recipe.companions:
        if companion.per_tyre < 1:
            yield f"{companion.sku}: say how many go with each tyre, 1 or more."
        for name in companion.places:
            if name not in names:
                yield f"{companion.sku}: “{name}” is not a place of this recipe."
