"""Rules of thumb that give wrong answers, each with the shelf that shows it."""

from __future__ import annotations

import random

from inventory.sets import Lot, Match, Recipe, RecipePlace, count_sets, promise
from tests.sets.brute import Brute


def singles(sku, *weeks, **rest):
    return [Lot((sku, *sorted(rest.values()), n), sku, w, 1, **rest) for n, w in enumerate(weeks)]


def pairs_of(lots, tolerance):
    """Pairs taken from the oldest up, each of the oldest tyre left with the next."""
    weeks = sorted(lot.week for lot in lots for _ in range(lot.quantity))
    pairs = []
    while len(weeks) > 1:
        if weeks[1] - weeks[0] <= tolerance:
            pairs.append((weeks.pop(0), weeks.pop(0)))
        else:
            weeks.pop(0)
    return pairs


def four(tolerance, width):
    return Recipe(
        (
            RecipePlace("front", ("A",), 2, tolerance_weeks=tolerance),
            RecipePlace("rear", ("A",), 2, tolerance_weeks=tolerance),
        ),
        car_tolerance_weeks=width,
    )


def test_pairing_first_and_grouping_pairs_later_misses_a_set():
    lots = singles("A", 10, 20, 21, 30, 31)
    pairs = pairs_of(lots, 10)
    assert pairs == [(10, 20), (21, 30)]
    assert pairs[1][1] - pairs[0][0] > 12  # so the rule of thumb finds no set
    assert promise(four(10, 12), lots).sets == 1


def test_half_the_tyres_are_not_pairs_across_a_gap():
    recipe = Recipe((RecipePlace("rear", ("A",), 2, tolerance_weeks=4),))
    lots = singles("A", 0, 1, 2, 50, 51, 52)
    assert sum(lot.quantity for lot in lots) // 2 == 3
    assert promise(recipe, lots).sets == 2


def test_the_lesser_of_front_pairs_and_rear_pairs_is_too_many():
    recipe = Recipe(
        (RecipePlace("front", ("A",), 2), RecipePlace("rear", ("B",), 2)), car_tolerance_weeks=26
    )
    lots = [*singles("A", 0, 1, 100, 101), *singles("B", 3, 4, 5, 6)]
    assert len(pairs_of(lots[:4], 26)) == len(pairs_of(lots[4:], 26)) == 2
    assert promise(recipe, lots).sets == 1


def test_pairing_left_with_right_first_misses_handed_fours():
    """Greedy left-right pairs, then pairs of pairs, against exhaustive search: sometimes short."""
    place = {"left": 1, "right": 1, "tolerance_weeks": 4}
    recipe = Recipe(
        (RecipePlace("front", ("A",), **place), RecipePlace("rear", ("A",), **place)),
        car_tolerance_weeks=6,
    )
    short = 0
    for seed in range(400):
        rng = random.Random(seed)
        lots = [
            Lot(n, "A", rng.randint(0, 16), 1, side=rng.choice(("left", "right")))
            for n in range(10)
        ]
        most = Brute(recipe, lots).most()
        assert count_sets(recipe, lots).sets == most
        assert _pairs_first(lots, 4, 6) <= most
        short += _pairs_first(lots, 4, 6) < most
    assert short > 0


def _pairs_first(lots, tolerance, width):
    left = sorted(lot.week for lot in lots if lot.side == "left")
    right = sorted(lot.week for lot in lots if lot.side == "right")
    pairs = []
    while left and right:
        if abs(left[0] - right[0]) <= tolerance:
            pairs.append(sorted((left.pop(0), right.pop(0))))
        else:
            (left if left[0] < right[0] else right).pop(0)
    sets = 0
    while len(pairs) > 1:
        first, second = pairs[0], pairs[1]
        if max(second + first) - min(first + second) <= width:
            sets += 1
            pairs = pairs[2:]
        else:
            pairs = pairs[1:]
    return sets


def test_promises_of_two_recipes_that_share_an_sku_do_not_add_up():
    pair = Recipe((RecipePlace("rear", ("A",), 2),))
    lots = singles("A", 0, 1, 2, 3)
    assert promise(pair, lots).sets == 2
    assert promise(four(26, 52), lots).sets == 1  # of the same four tyres


def test_three_and_two_of_one_sku_cannot_be_dealt_in_runs():
    """Runs of five neighbours hold one set; the two sets lie across each other."""
    recipe = Recipe(
        (
            RecipePlace("front", ("A",), 3, tolerance_weeks=0),
            RecipePlace("rear", ("A",), 2, tolerance_weeks=0),
        ),
        car_tolerance_weeks=5,
    )
    lots = [Lot(w, "A", w, n) for w, n in ((0, 3), (1, 3), (5, 2), (6, 2))]
    found = promise(recipe, lots)
    assert (found.sets, found.exact) == (2, True)


def test_marks_round_the_car_are_counted_one_by_one_and_added():
    recipe = Recipe((RecipePlace("front", ("A",), 2),), mark=Match.CAR)
    lots = [*singles("A", 0, 1, 2, mark="K1"), *singles("A", 0, 1, 2, mark="K2")]
    assert promise(recipe, lots).sets == 2
    free = Recipe((RecipePlace("front", ("A",), 2),), mark=Match.FREE)
    assert promise(free, lots).sets == 3
