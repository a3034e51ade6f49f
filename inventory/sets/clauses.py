"""What is said of each rule that takes sets away: short, with the numbers in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from inventory.sets.eligible import NO_DATE, TOO_OLD, excluded, usable
from inventory.sets.pieces import sharing_places
from inventory.sets.quick import count_quickly
from inventory.sets.recipe import Lot, Match, Recipe, RecipePlace, Side
from inventory.sets.structure import too_far_apart

NUMBERS = ("none", "one", "two", "three", "four", "five", "six")
DIFFER = {"mark": "marks", "pattern_issue": "pattern issues", "sidewall": "sidewalls"}


def bare_place(place: RecipePlace) -> RecipePlace:
    """The place with nothing but its SKUs and how many tyres it takes."""
    return RecipePlace(
        place.name,
        place.skus,
        count=place.tyres,
        tolerance_weeks=None,
        joins=place.joins,
        apart=place.apart,
    )


def one_sku(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Alternative SKUs that do not add up to an axle."""
    return "the pieces are of different SKUs, and an axle takes one"


def ages(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Over the age limit, or without a date under one."""
    refused = list(excluded(recipe, lots))
    old = sum(lot.quantity for lot, why in refused if why == TOO_OLD)
    dateless = sum(lot.quantity for lot, why in refused if why == NO_DATE)
    said = []
    if old:
        said.append(f"too old: {old}")
    if dateless:
        said.append(f"without a date, so not shown to be young enough: {dateless}")
    return "; ".join(said)


def marks_named(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Marks other than those named."""
    marks = sorted({mark for place in recipe.places for mark in place.marks})
    right = sum(lot.quantity for lot in usable(recipe, lots))
    named = " or ".join(f"“{mark}”" if mark else "no mark" for mark in marks)
    return f"with {named}: only {right}"


def sides(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Handed tyres that do not go in pairs."""
    here = usable(recipe, lots)
    said = []
    for place in recipe.places:
        if not place.handed:
            continue
        skus = recipe.skus_at(place)
        left, right = (
            sum(lot.quantity for lot in here if lot.sku in skus and lot.side == side)
            for side in Side
        )
        short = "left" if left * max(place.right, 1) <= right * max(place.left, 1) else "right"
        said.append(f"{place.name}: {short} ones are short, {left} left and {right} right")
    return "; ".join(said)


def differing(name: str) -> Callable[[Recipe, Sequence[Lot]], str]:
    """Something moulded on the sidewall that has to be the same and is not."""

    def said(recipe: Recipe, lots: Sequence[Lot]) -> str:
        where = "round the car" if getattr(recipe, name) is Match.CAR else "on an axle"
        return f"the {DIFFER[name]} differ, and have to be the same {where}"

    return said


def undated(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Undated tyres, that match only their own delivery."""
    number = sum(lot.quantity for lot in usable(recipe, lots) if lot.week is None)
    return f"without a date, so matched only within their delivery: {number}"


def axle_dates(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Tyres too far apart in weeks on an axle, naming the axles where it is so."""
    here = usable(recipe, lots)
    said = [clause for places in sharing_places(recipe) if (clause := _weeks(recipe, places, here))]
    return "; ".join(said) or "too few within the tolerance of an axle"


def _weeks(recipe: Recipe, places: list[RecipePlace], lots: list[Lot]) -> str:
    names = {place.joins or place.name for place in places}
    whole = tuple(place for place in recipe.places if place.name in names or place.joins in names)
    axles = [place for place in whole if not place.joins]
    alone = replace(
        recipe,
        places=whole,
        car_tolerance_weeks=None,
        anchors=(),
        companions=(),
        oldest_week=None,
    )
    free = replace(alone, places=tuple(replace(place, tolerance_weeks=None) for place in whole))
    found = count_quickly(alone, lots)[0]
    if found >= count_quickly(free, lots)[0]:
        return ""
    skus = {sku for place in whole for sku in place.skus}
    pieces = sum(lot.quantity for lot in lots if lot.sku in skus)
    where = " and ".join(place.name for place in whole)
    within = " and ".join(str(width) for width in dict.fromkeys(a.tolerance_weeks for a in axles))
    tyres = sum(place.tyres for place in whole)
    if found == 0 and len(axles) == 1:
        number = NUMBERS[tyres] if tyres < len(NUMBERS) else str(tyres)
        return f"{pieces} for {where}, but no {number} within {within} weeks"
    sets = "no set" if found == 0 else "only one set" if found == 1 else f"only {found} sets"
    return f"{pieces} for {where}, but within {within} weeks they make {sets}"


def deliveries(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Not enough that came together."""
    names = " and ".join(place.name for place in recipe.places if place.same_delivery)
    return f"{names}: too few of one delivery"


def car_dates(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Axles too far apart in weeks."""
    return f"too few axles within {recipe.car_tolerance_weeks} weeks of each other round the car"


def anchors(recipe: Recipe, lots: Sequence[Lot]) -> str:
    """Tyres on the car that nothing, or too little, goes with."""
    apart = too_far_apart(recipe.anchors, recipe.car_tolerance_weeks) or any(
        too_far_apart(
            [anchor for anchor in recipe.anchors if recipe.axle_of(anchor.place) is axle],
            axle.tolerance_weeks,
        )
        for axle in recipe.places
    )
    if apart:
        return "the tyres on the car are themselves too far apart in weeks"
    return "too few go with the tyres on the car"
