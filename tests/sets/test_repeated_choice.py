"""Selling the oldest set again and again: it empties the promise, one set at a time.

Holds wherever marching settles the count (see `tally`). It does not hold in general where several
marks may serve an axle and the car has a tolerance: there the oldest set may break up two others.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from inventory.sets import Lot, Match, Recipe, RecipePlace, choose, count_sets
from tests.sets.cases import case

SETTLED = ("pair", "block", "four", "staggered", "three_axles", "handed_pair", "handed_four")


def sold(lots, chosen):
    taken = chosen.chosen.by_lot()
    return [replace(lot, quantity=lot.quantity - taken.get(lot.key, 0)) for lot in lots]


def settled_cases(kind):
    for seed in range(150):
        rng = random.Random(f"sold {kind} {seed}")
        recipe, lots = case(rng, kind, 14)
        same = {name: rng.choice((Match.FREE, Match.CAR)) for name in ("mark", "pattern_issue")}
        places = tuple(replace(place, same_delivery=False) for place in recipe.places)
        yield replace(recipe, sidewall=Match.FREE, anchors=(), places=places, **same), lots


@pytest.mark.parametrize("kind", SETTLED)
def test_each_sale_of_the_oldest_set_lowers_the_promise_by_one(kind):
    sales = 0
    for recipe, lots in settled_cases(kind):
        promised = count_sets(recipe, lots).sets
        while chosen := choose(recipe, lots):
            lots = sold(lots, chosen)
            promised -= 1
            sales += 1
            assert count_sets(recipe, lots).sets == promised
        assert promised == 0
    assert sales > 40


def test_with_marks_on_the_axle_and_a_tolerance_round_the_car_a_sale_may_cost_two():
    """Three pairs a, b, c: b goes with a or c. The oldest set is not always in the most sets."""
    recipe = Recipe(
        (
            RecipePlace("front", ("A",), 2, tolerance_weeks=10),
            RecipePlace("rear", ("A",), 2, tolerance_weeks=10),
        ),
        car_tolerance_weeks=10,
    )
    lots = _pairs(("p", 0, 10), ("q", 1, 1), ("r", 2, 2), ("s", 11, 11))
    assert count_sets(recipe, lots).sets == 2
    after = sold(lots, choose(recipe, lots))
    assert count_sets(recipe, after).sets == 0


def _pairs(*pairs):
    return [
        Lot((mark, number), "A", week, 1, mark=mark)
        for mark, *weeks in pairs
        for number, week in enumerate(weeks)
    ]
