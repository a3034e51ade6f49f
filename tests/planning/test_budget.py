"""The season's plan: within the budget, near the best, and honest about how near."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from inventory.planning.budget import plan_within
from inventory.planning.choices import Choices, choices
from inventory.planning.core import plan_exactly
from inventory.planning.core_minimums import plan_with_minimums_exactly
from inventory.planning.groups import Axle, Groups, in_sets
from inventory.planning.minimums import plan_with_minimums
from inventory.planning.values import worth


def axle(rng, number, minimum=4):
    mean = rng.uniform(0.5, 8, number)
    cost = rng.uniform(60, 160, number).round(2)
    return Axle(
        mean,
        mean * rng.uniform(1, 2.5, number),
        rng.integers(0, 4, number),
        cost,
        cost * 1.5,
        cost * 0.75,
        np.full(number, minimum),
        np.full(number, 2),
    )


def groups(seed, number, suppliers=3):
    rng = np.random.default_rng(seed)
    sets = rng.uniform(0.2, 4, number)
    return Groups(
        axle(rng, number),
        axle(rng, number),
        sets,
        sets * 1.4,
        rng.integers(0, suppliers, number),
    )


def all_plans(found: Choices, budget: float, minimums=None):
    """The best gain by trying every plan."""
    rows = [np.flatnonzero(found.group == g).tolist() for g in np.unique(found.group)]
    best = 0.0
    for plan in product(*rows):
        taken = np.array(plan)
        if found.cost[taken].sum() > budget:
            continue
        if minimums is not None:
            units = np.bincount(found.supplier[taken], found.units[taken], minimums.size)
            if ((units > 0) & (units < minimums)).any():
                continue
        best = max(best, float(found.gain[taken].sum()))
    return best


@pytest.mark.parametrize("seed", range(4))
def test_the_exact_plan_is_the_best_of_all(seed):
    found = choices(groups(seed, 3))
    for share in (0.2, 0.5, 0.8):
        budget = share * plan_within(found, 1e9).cost
        plan = plan_exactly(found, budget, seconds=20)
        assert plan.cost <= budget
        assert plan.gain == pytest.approx(all_plans(found, budget), rel=1e-9)
        assert plan.gain <= plan.bound * (1 + 1e-12)


@pytest.mark.parametrize("number", [50, 500])
def test_the_bound_is_near_and_never_wrong(number):
    found = choices(groups(7, number))
    whole = plan_within(found, 1e12)
    for share in (0.25, 0.75) if number == 50 else (0.75,):
        plan = plan_within(found, share * whole.cost)
        exact = plan_exactly(found, share * whole.cost, seconds=1)
        assert plan.cost <= share * whole.cost
        assert plan.gain <= exact.gain <= plan.bound * (1 + 1e-12)
        assert exact.gain - plan.gain <= (0.002 if number == 50 else 0.0002) * exact.gain


@pytest.mark.parametrize("seed", range(4))
def test_suppliers_minimums_are_kept_or_nothing_is_ordered(seed):
    found, minimums = choices(groups(seed, 3, suppliers=2)), np.array([9, 14])
    budget = 0.6 * plan_within(found, 1e9).cost
    plan = plan_with_minimums(found, budget, minimums)
    units = np.bincount(found.supplier[plan.taken], found.units[plan.taken], 2)
    assert plan.cost <= budget
    assert ((units == 0) | (units >= minimums)).all()
    best = all_plans(found, budget, minimums)
    assert plan.gain <= best * (1 + 1e-9) <= plan.bound * (1 + 1e-6) + 1e-6
    assert plan.gain >= 0.9 * best


@pytest.mark.parametrize("seed", range(4))
def test_a_small_range_with_minimums_is_planned_exactly(seed):
    found, minimums = choices(groups(seed, 3, suppliers=2)), np.array([9, 14])
    for share in (0.3, 0.6):
        budget = share * plan_within(found, 1e9).cost
        plan = plan_with_minimums_exactly(found, budget, minimums, seconds=20)
        units = np.bincount(found.supplier[plan.taken], found.units[plan.taken], 2)
        assert plan.cost <= budget
        assert ((units == 0) | (units >= minimums)).all()
        assert plan.gain == pytest.approx(all_plans(found, budget, minimums), rel=1e-9)
        assert plan.gain <= plan.bound * (1 + 1e-12)
        assert plan.exact or plan.gap < 1e-5


def test_no_money_buys_nothing_and_all_of_it_what_gains():
    found = choices(groups(1, 20))
    nothing = plan_within(found, 0)
    assert (nothing.cost, nothing.gain) == (0, 0)
    everything = plan_within(found, 1e12)
    assert everything.price_of_money == pytest.approx(0, abs=1e-6)
    assert everything.gap == pytest.approx(0, abs=1e-9)
    none = np.zeros(0, np.int64)
    nobody = choices(groups(1, 1).of(none))
    assert plan_within(nobody, 100).gain == 0
    assert plan_with_minimums(nobody, 100, none).gain == 0
    assert plan_with_minimums_exactly(nobody, 100, none).gain == 0


def test_worth_against_chance():
    """Sets of 2 + 2 all or nothing, then single axles, drawn forty thousand times."""
    case = groups(3, 1)
    rng = np.random.default_rng(5)

    def drawn(mean, variance):
        size = mean**2 / (variance - mean)
        return rng.negative_binomial(size, mean / variance, 40_000)

    front, rear = 7, 5
    sets = np.minimum(drawn(case.sets_mean[0], case.sets_variance[0]), min(front, rear) // 2)
    alone = [drawn(each.mean[0], each.variance[0]) for each in (case.front, case.rear)]
    sold = [
        2 * sets + np.minimum(asked, stock - 2 * sets)
        for asked, stock in zip(alone, (front, rear), strict=True)
    ]
    earned = sold[0].mean() * case.front.earned[0] + sold[1].mean() * case.rear.earned[0]
    found = worth(case, np.array([[front]]), np.array([[rear]]))
    assert float(found[0, 0, 0]) == pytest.approx(earned, rel=0.01)


def test_fronts_and_rears_are_worth_more_together():
    """Nothing but whole sets is asked for: one axle alone earns nothing."""
    case = groups(3, 1)
    none = np.zeros(1)
    alone = [replace(each, mean=none, variance=none) for each in (case.front, case.rear)]
    case = replace(case, front=alone[0], rear=alone[1])
    found = worth(case, np.array([[0, 4]]), np.array([[0, 4]]))[0]
    assert found[0, 0] == found[1, 0] == found[0, 1] == 0
    assert found[1, 1] > 0


def test_pieces_parted_into_sets_and_single_axles():
    share = np.array([0.5])
    front, rear = (np.array([10.0]), np.array([15.0])), (np.array([6.0]), np.array([6.0]))
    sets, fronts, rears = in_sets(front, rear, share)
    assert sets[0] == pytest.approx(1.5)
    assert (fronts[0], rears[0]) == (pytest.approx(7), pytest.approx(3))
    assert (fronts[1] >= fronts[0]).all()
    assert (rears[1] >= rears[0]).all()
