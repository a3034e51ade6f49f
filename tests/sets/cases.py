"""Random small shelves and recipes, the same ones for the same seed."""

from __future__ import annotations

import random
from dataclasses import replace

from inventory.sets import Anchor, Lot, Match, Prefer, Recipe, RecipePlace

Case = tuple[Recipe, list[Lot]]

SEVERAL_SKUS = (
    "staggered",
    "three_axles",
    "handed_four",
    "handed_staggered",
    "spare_joined_own",
    "spare_apart",
    "alternatives",
)

KINDS = (
    "pair",
    "block",
    "four",
    "staggered",
    "three_axles",
    "handed_pair",
    "handed_four",
    "handed_staggered",
    "three_two",
    "spare_alike",
    "spare_joined",
    "spare_joined_own",
    "spare_apart",
    "alternatives",
    "alternatives_four",
    "handed_spare",
    "unlike_axles",
)


def small_case(kind: str, seed: object) -> Case:
    """A recipe of that kind, and a shelf small enough for exhaustive search."""
    rng = random.Random(f"{kind} {seed}")
    return case(rng, kind, rng.choice((8, 10, 13)) + 3 * (kind in SEVERAL_SKUS))


def case(rng: random.Random, kind: str, most: int) -> Case:
    """A recipe of that kind with a shelf of `most` tyres or so."""
    tolerance = rng.choice((0, 1, 2, 4, 6, None))
    width = rng.choice((None, None, 0, 3, 6, 9))
    if tolerance is not None and width is not None:
        width = max(tolerance, width)
    recipe = Recipe(
        _places(rng, kind, tolerance, width),
        car_tolerance_weeks=width,
        oldest_week=rng.choice((None, None, None, 2, 4)),
        allow_undated=rng.random() < 0.5,
        prefer=rng.choice(tuple(Prefer)),
        mark=rng.choice((Match.FREE, Match.AXLE, Match.CAR)),
        pattern_issue=rng.choice((Match.FREE, Match.FREE, Match.AXLE, Match.CAR)),
        sidewall=rng.choice((Match.FREE, Match.FREE, Match.AXLE)),
    )
    if rng.random() < 0.3:
        recipe = _with_anchors(rng, recipe)
    return recipe, shelf(rng, recipe, most)


def _places(
    rng: random.Random, kind: str, tolerance: int | None, width: int | None
) -> tuple[RecipePlace, ...]:
    common = {
        "tolerance_weeks": tolerance,
        "same_delivery": rng.random() < 0.12,
        "marks": rng.choice(((), (), (), ("K1",), ("K1", ""))),
    }

    def place(name: str, *skus: str, **rest: object) -> RecipePlace:
        return RecipePlace(name, skus, **{**common, **rest})

    def other(name: str, *skus: str, **rest: object) -> RecipePlace:
        widths = [n for n in (0, 1, 3) if width is None or n <= width]
        return place(name, *skus, **{"tolerance_weeks": rng.choice((*widths, tolerance)), **rest})

    two = {"left": 1, "right": 1}
    return {
        "pair": lambda: (place("front", "A", count=2),),
        "block": lambda: (place("all", "A", count=rng.randint(1, 6)),),
        "four": lambda: (place("front", "A", count=2), place("rear", "A", count=2)),
        "staggered": lambda: (place("front", "A", count=2), other("rear", "B", count=2)),
        "three_axles": lambda: (
            place("front", "A", count=1),
            place("middle", "B", count=2),
            other("rear", "C", count=rng.choice((1, 2))),
        ),
        "handed_pair": lambda: (place("front", "A", **two),),
        "handed_four": lambda: (place("front", "A", **two), place("rear", "A", **two)),
        "handed_staggered": lambda: (place("front", "A", **two), other("rear", "B", count=2)),
        "three_two": lambda: (place("front", "A", count=3), place("rear", "A", count=2)),
        "spare_alike": lambda: (
            place("front", "A", count=2),
            place("rear", rng.choice("AAB"), count=2),
            place("spare", "A", count=1),
        ),
        "spare_joined": lambda: (
            place("front", "A", count=2),
            place("rear", rng.choice("AB"), count=2),
            place("spare", count=1, joins=rng.choice(("front", "rear"))),
        ),
        "spare_joined_own": lambda: (
            place("front", "A", count=2),
            place("spare", "C", count=rng.choice((1, 2)), joins="front"),
        ),
        "spare_apart": lambda: (
            place("front", "A", count=2),
            place("rear", "B", count=2),
            place("spare", "C", count=rng.choice((1, 2)), apart=True),
        ),
        "alternatives": lambda: (
            place("front", "A", "B", count=2),
            place("rear", "C", "D", count=2),
        ),
        "alternatives_four": lambda: (
            place("front", "A", "B", count=2),
            place("rear", *rng.choice((("A", "B"), ("B", "C"))), count=2),
        ),
        "handed_spare": lambda: (
            place("front", "A", **two),
            place("spare", "A", count=1, **rng.choice(({}, {"joins": "front"}))),
        ),
        "unlike_axles": lambda: (
            place("front", "A", count=2),
            other("rear", "A", count=rng.choice((1, 2, 3))),
        ),
    }[kind]()


def _with_anchors(rng: random.Random, recipe: Recipe) -> Recipe:
    names = [place.name for place in recipe.places] + ["elsewhere"]
    anchors = []
    for _ in range(rng.choice((1, 1, 2))):
        name = rng.choice(names)
        skus = next((p.skus for p in recipe.places if p.name == name), ()) or (None,)
        dated = rng.random() < 0.85
        anchors.append(
            Anchor(
                name,
                week=rng.randint(2, 10) if dated else None,
                delivery=rng.choice(("d1", None)) if dated else "d1",
                sku=rng.choice((None, rng.choice(skus))),
                mark=rng.choice((None, None, "", "K1")),
                pattern_issue=rng.choice((None, None, "", "2")),
                sidewall=rng.choice((None, None, "plain")),
            )
        )
    return replace(recipe, anchors=tuple(anchors))


def shelf(rng: random.Random, recipe: Recipe, most: int) -> list[Lot]:
    """Lots for the recipe's SKUs, more alike on some shelves than on others."""
    skus = sorted({sku for place in recipe.places for sku in place.skus}, key=str)
    handed = any(place.handed for place in recipe.places)
    last = rng.choice((3, 8, 14))
    mixed = rng.random()
    lots: list[Lot] = []
    while sum(lot.quantity for lot in lots) < rng.randint(most - 3, most):
        number = rng.choice((1, 1, 1, 2, 2, 3, 4))
        lots.append(
            Lot(
                key=len(lots),
                sku=rng.choice(skus),
                week=None if rng.random() < 0.25 * mixed else rng.randint(0, last),
                quantity=number,
                delivery=rng.choice(("d1", "d1", "d2", None)),
                mark=rng.choice(("K1", "K1", "K2", "")) if rng.random() < mixed else "K1",
                pattern_issue=rng.choice(("", "2")) if rng.random() < mixed / 3 else "",
                sidewall=rng.choice(("plain", "band")) if rng.random() < mixed / 3 else "plain",
                side=rng.choice(SIDES) if handed else None,
                **dict(zip(("walk", "place"), rng.choice(_PLACES), strict=True)),
            )
        )
    return lots


SIDES = ("left", "right") * 4 + (None,)
_PLACES = [(1, "a"), (2, "b"), (3, "c"), (3, "d")]
