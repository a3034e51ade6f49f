"""What an invented house could order before a season, the same for the same seed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from inventory.planning.groups import Axle, Groups

SUPPLIERS = 40
IN_PAIRS = 0.7


def invented_groups(seed: int, skus: int) -> Groups:
    """So many SKUs, seven of ten of them a front or a rear that goes out in sets for the most."""
    rng = np.random.default_rng(seed)
    pairs = int(skus * IN_PAIRS) // 2
    number = skus - pairs
    paired = np.arange(number) < pairs
    sets = np.where(paired, rng.gamma(1.5, 1.2, number), 0.0)
    front, rear = (_axle(rng, number, paired) for _ in range(2))
    none = np.zeros(number)
    rear = replace(
        rear,
        **{name: np.where(paired, getattr(rear, name), none) for name in _MONEY},
        stock=np.where(paired, rear.stock, 0),
    )
    return Groups(front, rear, sets, sets * rng.uniform(1, 1.8, number), _suppliers(rng, number))


_MONEY = ("mean", "variance", "cost", "price", "kept")


def _suppliers(rng: np.random.Generator, number: int) -> np.ndarray:
    return 1 + rng.integers(0, min(SUPPLIERS, max(number // 8, 1)), number)


def _axle(rng: np.random.Generator, number: int, paired: np.ndarray) -> Axle:
    mean = rng.gamma(1.2, 2.0, number) * np.where(paired, 0.4, 1.0)
    cost = rng.uniform(60, 220, number).round(2)
    return Axle(
        mean,
        mean * rng.uniform(1, 2.6, number),
        rng.integers(0, 5, number),
        cost,
        (cost * rng.uniform(1.25, 1.7, number)).round(2),
        (cost * rng.uniform(0.65, 0.85, number)).round(2),
        rng.choice([2, 4, 8], number),
        rng.choice([1, 2, 4], number),
    )


def apart(groups: Groups) -> Groups:
    """The same SKUs planned one by one: what is asked for in sets counts for each axle alone."""
    sides = [
        replace(
            side,
            mean=side.mean + 2 * groups.sets_mean * (side.cost > 0),
            variance=side.variance + 4 * groups.sets_variance * (side.cost > 0),
        )
        for side in (groups.front, groups.rear)
    ]
    both = Axle(*(np.concatenate([getattr(side, name) for side in sides]) for name in _FIELDS))
    none = Axle(*(np.zeros_like(getattr(both, name)) for name in _FIELDS))
    nought, twice = np.zeros(both.mean.size), np.concatenate([groups.supplier, groups.supplier])
    return Groups(both, none, nought, nought, twice)


_FIELDS = ("mean", "variance", "stock", "cost", "price", "kept", "minimum", "pack")
