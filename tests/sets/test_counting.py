"""Many recipes against one shelf, the plain ones by the short way."""

from __future__ import annotations

import random
import time
from dataclasses import replace

import pytest

from inventory.sets import Count, Lot, Match, Recipe, RecipePlace, choose, promise_counts
from inventory.sets.quick import quick_count
from inventory.sets.stream import Stream
from inventory.sets.structure import problem
from inventory.sets.sweep import count_rows
from inventory.sets.whole import count_all
from tests.sets.cases import small_case


def by_sku(lots):
    return {sku: [lot for lot in lots if lot.sku == sku] for sku in {lot.sku for lot in lots}}


@pytest.mark.parametrize("kind", ["pair", "block", "four", "staggered", "three_axles"])
def test_the_short_way_gives_the_same_numbers(kind):
    short = 0
    for seed in range(300):
        recipe, lots = small_case(kind, f"quick {seed}")
        recipe = replace(recipe, anchors=())
        quick = quick_count(recipe, by_sku(lots))
        if quick is not None:
            short += 1
            assert (quick, quick) == count_all(problem(recipe, lots))
    assert short > 150


@pytest.mark.parametrize("kind", ["handed_pair", "alternatives", "spare_joined", "spare_apart"])
def test_what_is_not_plain_is_left_to_the_ordinary_way(kind):
    recipe, lots = small_case(kind, 1)
    assert quick_count(recipe, by_sku(lots)) is None


def test_large_lots_are_shortened_without_changing_the_count():
    for seed in range(400):
        rng = random.Random(seed)
        size, blocks = rng.choice(((2, 2), (1, 3), (3, 2), (2, 3)))
        tolerance, width = rng.choice(((0, 3), (2, 4), (None, 3)))
        cells = [(rng.randint(0, 9), rng.randint(1, 40)) for _ in range(rng.randint(1, 7))]
        plain = Recipe(
            tuple(
                RecipePlace(str(n), ("A",), size, tolerance_weeks=tolerance) for n in range(blocks)
            ),
            car_tolerance_weeks=width,
        )
        lots = [Lot(n, "A", week, number) for n, (week, number) in enumerate(cells)]
        marched = count_all(problem(plain, lots))[0]
        narrowed = width if tolerance is None else tolerance
        assert count_rows(Stream(cells), size, blocks, narrowed, width) == marched


def test_each_recipe_is_counted_as_if_it_were_the_only_one():
    lots = [Lot(1, "A", 0, 4), Lot(2, "B", 0, 2)]
    pair, both = RecipePlace("rear", ("A",), 2), RecipePlace("front", ("B",), 2)
    recipes = [Recipe((pair,)), Recipe((both, pair)), Recipe((RecipePlace("x", ("C",), 1),))]
    assert promise_counts(recipes, lots) == [Count(2, 2), Count(1, 1), Count(0, 0)]


def _shelf(skus, lots_each):
    rng = random.Random(11)
    return [
        Lot(
            (sku, n),
            sku,
            rng.randint(0, 500),
            rng.choice((1, 1, 2, 4, 9, 30)),
            place=str(n),
            walk=n,
        )
        for sku in range(skus)
        for n in range(lots_each)
    ]


@pytest.mark.parametrize(
    ("name", "limit"),
    [("pair", 1.0), ("four", 1.0), ("staggered", 3.0)],
)
def test_counting_a_whole_shelf_is_quick(name, limit):
    """A tenth of 20,000 SKUs and 200,000 lots; four times the aim for a busy machine."""
    skus = 2_000
    lots = _shelf(skus, 10)
    second = {"pair": None, "four": 0, "staggered": 1}[name]
    recipes = []
    for sku in range(skus):
        places = [RecipePlace("front", (sku,), 2)]
        if second is not None:
            places.append(RecipePlace("rear", ((sku + second) % skus,), 2))
        recipes.append(Recipe(tuple(places), car_tolerance_weeks=52, mark=Match.CAR))
    started = time.process_time()
    counts = promise_counts(recipes, lots)
    assert time.process_time() - started < limit / 10 * 4
    assert all(count.exact for count in counts)


def test_choosing_among_a_thousand_lots_is_quick():
    lots = _shelf(1, 1_000)
    recipe = Recipe(
        (RecipePlace("front", (0,), 2), RecipePlace("rear", (0,), 2)), car_tolerance_weeks=52
    )
    choose(recipe, lots)
    started = time.process_time()
    for _ in range(20):
        assert choose(recipe, lots)
    assert (time.process_time() - started) / 20 < 0.020  # aim 5 ms; four times for a busy machine
