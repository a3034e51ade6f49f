"""Where marching does not settle the count: bounds, the integer program, and what is said."""

from __future__ import annotations

import random

import pytest

from inventory.sets import (
    Lot,
    Match,
    Recipe,
    RecipePlace,
    check_set,
    choose,
    count_sets,
    program,
    promise,
)
from inventory.sets.between import upper_bound
from inventory.sets.structure import problem
from tests.sets.brute import Brute
from tests.sets.cases import small_case


def four(tolerance, width):
    places = [RecipePlace(name, ("A",), 2, tolerance_weeks=tolerance) for name in ("front", "rear")]
    return Recipe(tuple(places), car_tolerance_weeks=width)


CROSSING = [
    Lot((mark, n), "A", week, 1, mark=mark)
    for mark, *weeks in (("p", 0, 10), ("q", 1, 1), ("r", 2, 2), ("s", 11, 11))
    for n, week in enumerate(weeks)
]


def test_the_program_finds_the_set_that_the_oldest_first_breaks_up():
    quick = count_sets(four(10, 10), CROSSING, proof=False)
    assert (quick.sets, quick.bound, quick.exact) == (1, 2, False)
    found = promise(four(10, 10), CROSSING)
    assert (found.sets, found.exact) == (2, True)
    for block in found.blocks:
        assert check_set(four(10, 10), block.by_place(), CROSSING) == []


def test_a_question_too_large_for_the_program_gets_its_bound(monkeypatch):
    monkeypatch.setattr(program, "MOST_COLUMNS", 3)
    found = promise(four(10, 10), CROSSING)
    assert (found.sets, found.bound, found.exact) == (1, 2, False)


def test_a_program_stopped_early_keeps_its_bound(monkeypatch):
    monkeypatch.setattr(program, "MOST_NODES", 0)
    found = promise(four(10, 10), CROSSING)
    assert 1 <= found.sets <= 2 <= found.bound


def test_a_promise_without_proof_says_so():
    found = promise(four(10, 10), CROSSING, proof=False)
    assert (found.sets, found.bound, found.exact) == (1, 2, False)


def test_an_axle_of_one_week_may_lie_inside_a_wider_one():
    """Neither axle can be had from neighbours: 0 and 10 lie round the two of week 5."""
    recipe = Recipe(
        (
            RecipePlace("front", ("A",), 2, tolerance_weeks=10),
            RecipePlace("rear", ("A",), 2, tolerance_weeks=0),
        )
    )
    lots = [Lot(1, "A", 0, 1), Lot(2, "A", 5, 2), Lot(3, "A", 10, 1)]
    assert promise(recipe, lots).sets == 1
    assert choose(recipe, lots).chosen.by_place() == {"front": ((1, 1), (3, 1)), "rear": ((2, 2),)}


@pytest.mark.parametrize("kind", ["four", "alternatives_four", "unlike_axles", "three_two"])
def test_without_proof_the_truth_lies_between(kind):
    for seed in range(80):
        recipe, lots = small_case(kind, f"between {seed}")
        found = count_sets(recipe, lots, proof=False)
        assert found.sets <= Brute(recipe, lots).most() <= found.bound


def test_tyres_that_no_axle_can_use_do_not_bridge_a_gap():
    """The lone tyre of another mark stands between two spells; no set reaches across."""
    lots = [
        Lot(1, "A", 0, 2, mark="K1"),
        Lot(2, "A", 40, 1, mark="K2"),
        Lot(3, "A", 80, 2, mark="K3"),
        Lot(4, "A", 80, 2, mark="K4"),
    ]
    found = count_sets(four(26, 52), lots, proof=False)
    assert (found.sets, found.bound) == (1, 1)


def test_the_bound_counts_marks_one_by_one():
    lots = [Lot(n, "A", 0, 1, mark=f"K{n}") for n in range(8)]
    cluster = problem(four(5, 5), lots)
    assert cluster.parts == ((),)  # no mark has two: nothing to bound
    lots = [Lot(n, "A", 0, 3, mark=f"K{n}") for n in range(3)]
    question = problem(four(5, 5), lots)
    ((case,),) = question.parts
    assert upper_bound(case[0], question.streams) == 1  # three pairs, not nine tyres


def test_large_shelves_with_marks_give_valid_sets_and_a_near_bound():
    rng = random.Random(3)
    lots = [
        Lot(n, "A", rng.randint(0, 300), rng.randint(1, 9), mark=rng.choice(("K1", "K2", "")))
        for n in range(60)
    ]
    recipe = Recipe(four(26, 52).places, car_tolerance_weeks=52, mark=Match.AXLE)
    found = promise(recipe, lots)
    assert found.sets <= found.bound <= found.sets + 1
    assert all(check_set(recipe, block.by_place(), lots) == [] for block in found.blocks)
