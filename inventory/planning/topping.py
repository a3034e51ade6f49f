"""What is left of the money put to use, without falling below a supplier's minimum."""

from __future__ import annotations

import numpy as np

from inventory.planning.arrays import Ints, summed
from inventory.planning.choices import Choices

_ROUNDS = 3


def topped_up(
    choices: Choices, rank: Ints, taken: Ints, budget: float, price: float, minimums: Ints
) -> Ints:
    """The choices taken, with changes that gain more than their money is worth, and still fit.

    A change may order fewer pieces of a supplier only as far as its minimum allows, and more only
    of one that is in the plan. At the end money is worth nothing: what is left is spent.
    """
    taken = taken.copy()
    for value in (price, 0.0):
        for _ in range(_ROUNDS):
            if not _round(choices, rank, taken, budget, value, minimums):
                break
    return taken


def _round(
    choices: Choices, rank: Ints, taken: Ints, budget: float, price: float, minimums: Ints
) -> bool:
    """The best changes one after the other, one a group; whether any was made."""
    units = summed(choices.units[taken].astype(float), choices.supplier[taken], minimums.size)
    rest = budget - float(choices.cost[taken].sum())
    columns = choices.gain, choices.cost, choices.units.astype(float)
    gain, cost, pieces = (each - each[taken][rank] for each in columns)
    better, spare = gain - price * cost, (units - minimums)[choices.supplier]
    joined = (units > 0)[choices.supplier]
    rows = np.flatnonzero((better > 1e-9) & (cost <= rest) & (spare + pieces >= 0) & joined)
    value = better / np.maximum(cost, 1e-9) if price == 0 else better
    changed: set[int] = set()
    for row in rows[np.argsort(-value[rows], kind="stable")].tolist():
        group, supplier = int(rank[row]), int(choices.supplier[row])
        fits = cost[row] <= rest and units[supplier] + pieces[row] >= minimums[supplier]
        if fits and group not in changed:
            changed.add(group)
            taken[group], rest = row, rest - float(cost[row])
            units[supplier] += pieces[row]
    return bool(changed)
