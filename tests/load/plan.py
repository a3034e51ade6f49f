"""The season's plan, measured: `python -m tests.load.plan --seed N [--most SKUS]`.

Prints for each size how far the plan may be from the best and from what the solver finds, how long
it takes, and what weighing fronts and rears together is worth against planning SKU by SKU and
against the same weeks of cover for all. Ends with 1 where a limit is missed.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator

import numpy as np

from inventory.planning.budget import Plan, plan_within
from inventory.planning.choices import Choices, choices
from inventory.planning.core import plan_exactly
from inventory.planning.core_minimums import plan_with_minimums_exactly
from inventory.planning.groups import Groups
from inventory.planning.values import worth
from tests.load.told import Row, told
from tests.load.wishes import apart, invented_groups

SIZES = (50, 500, 5_000, 50_000)
GAPS = {50: 0.002, 500: 0.0002, 5_000: 0.00002}
SHARE = 0.5
MINIMUM = 24


def rows_of(seed: int, skus: int) -> Iterator[Row]:
    """The figures of one size beside their limits."""
    start = time.perf_counter()
    groups = invented_groups(seed, skus)
    offered = choices(groups)
    whole = plan_within(offered, 1e15).cost
    plan = plan_within(offered, SHARE * whole)
    took = time.perf_counter() - start
    yield Row(f"{skus}: money spent / budget", plan.cost / (SHARE * whole), most=1.0)
    if skus in GAPS:
        yield from _against_solver(offered, plan, skus, SHARE * whole)
    else:
        yield Row(f"{skus}: gap by its own bound", plan.gap, most=1e-5)
        yield Row(f"{skus}: seconds, all of it", took, most=10.0)
    if skus >= 5_000:  # fewer are sorted in the time that a few calls take
        times = _sorts(offered, SHARE * whole)
        yield Row(f"{skus}: solver / sorting its options", times, most=150.0)
    yield from _with_minimums(offered, skus, SHARE * whole)


def _against_solver(offered: Choices, plan: Plan, skus: int, budget: float) -> Iterator[Row]:
    start = time.perf_counter()
    exact = plan_exactly(offered, budget, seconds=3.0)
    took = time.perf_counter() - start
    # What the house is told is the better of the two; the first of them stands alone above 5,000.
    yield Row(f"{skus}: gap, proven by the solver", exact.gap, most=GAPS[skus])
    yield Row(f"{skus}: without the solver, gap", 1 - plan.gain / exact.gain)
    if skus <= 500:
        yield Row(f"{skus}: the solver is done (1: yes)", float(exact.exact), least=1.0)
        yield Row(f"{skus}: seconds of the solver", took, most=3.0)


def _sorts(offered: Choices, budget: float) -> float:
    """How many times as long as sorting the options by what they gain."""
    return _quickest(lambda: plan_within(offered, budget)) / _quickest(
        lambda: np.sort(offered.gain)
    )


def _quickest(work: object, times: int = 5) -> float:
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()  # type: ignore[operator]
        took.append(time.perf_counter() - start)
    return min(took)


def _with_minimums(offered: Choices, skus: int, budget: float) -> Iterator[Row]:
    """So many pieces of a supplier's batch, or none."""
    minimums = np.full(int(offered.supplier.max()) + 1, MINIMUM)
    minimums[0] = 0
    start = time.perf_counter()
    plan = plan_with_minimums_exactly(offered, budget, minimums)
    took = time.perf_counter() - start
    units = np.bincount(offered.supplier[plan.taken], offered.units[plan.taken], minimums.size)
    kept = bool(((units == 0) | (units >= minimums)).all()) and plan.cost <= budget
    yield Row(f"{skus}: minimums and money kept (1: yes)", float(kept), least=1.0)
    yield Row(f"{skus}: gap with minimums, proven", plan.gap, most=0.002 if skus < 50_000 else 5e-4)
    yield Row(f"{skus}: seconds with minimums", took, most=15.0 if skus < 50_000 else 10.0)


def coupling(seed: int, skus: int) -> list[Row]:
    """What is really gained at half the money, and what by planning otherwise."""
    groups = invented_groups(seed, skus)
    offered = choices(groups)
    budget = SHARE * plan_within(offered, 1e15).cost
    plan = plan_within(offered, budget)
    together = gained(groups, *_bought(offered, plan, groups.supplier.size))
    singly = choices(apart(groups))
    pieces = _bought(singly, plan_within(singly, budget), 2 * groups.supplier.size)[0]
    by_sku = gained(groups, *np.split(pieces, 2))
    cover = gained(groups, *_same_cover(groups, budget))
    return [
        Row("together / what was promised", together / plan.gain, least=1 - 1e-9, most=1 + 1e-9),
        Row("together / SKU by SKU", together / by_sku, least=1.1),
        Row("together / same weeks of cover", together / cover, least=1.1),
    ]


def _bought(offered: Choices, plan: Plan, groups: int) -> tuple[np.ndarray, np.ndarray]:
    front, rear = np.zeros(groups, np.int64), np.zeros(groups, np.int64)
    front[offered.group[plan.taken]] = offered.front[plan.taken]
    rear[offered.group[plan.taken]] = offered.rear[plan.taken]
    return front, rear


def gained(groups: Groups, front: np.ndarray, rear: np.ndarray) -> float:
    """What an order gains over none, by sets and single axles as they are asked for."""
    stock = groups.front.stock[:, None], groups.rear.stock[:, None]
    before = worth(groups, *stock)[:, 0, 0]
    after = worth(groups, stock[0] + front[:, None], stock[1] + rear[:, None])[:, 0, 0]
    lost = front * (groups.front.cost - groups.front.kept)
    lost = lost + rear * (groups.rear.cost - groups.rear.kept)
    return float((after - before - lost).sum())


def _same_cover(groups: Groups, budget: float) -> tuple[np.ndarray, np.ndarray]:
    """Each SKU brought up to the same share of its season's demand, as far as the money goes."""
    sides = groups.front, groups.rear

    def order(share: float) -> list[np.ndarray]:
        wanted = [
            np.ceil(share * (side.mean + 2 * groups.sets_mean) * (side.cost > 0)) - side.stock
            for side in sides
        ]
        return [
            np.where(more > 0, np.maximum(more, side.minimum), 0).astype(np.int64)
            for more, side in zip(wanted, sides, strict=True)
        ]

    low, high = 0.0, 10.0
    for _ in range(40):
        middle = (low + high) / 2
        cost = sum(
            float((side.cost * pieces).sum())
            for side, pieces in zip(sides, order(middle), strict=True)
        )
        low, high = (middle, high) if cost <= budget else (low, middle)
    front, rear = order(low)
    return front, rear


def main(arguments: list[str] | None = None) -> int:
    """Prints everything; 1 if a limit is missed."""
    options = argparse.ArgumentParser(prog="python -m tests.load.plan", description=__doc__)
    options.add_argument("--seed", type=int, required=True)
    options.add_argument("--most", type=int, default=max(SIZES), help="the largest size, in SKUs")
    chosen = options.parse_args(arguments)
    kept = True
    for skus in (size for size in SIZES if size <= chosen.most):
        kept &= told(
            f"plan of {skus} SKUs, seed {chosen.seed}", {}, list(rows_of(chosen.seed, skus))
        )
    skus = min(2_000, chosen.most)
    kept &= told(f"sets, {skus} SKUs at half the money", {}, coupling(chosen.seed, skus))
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
