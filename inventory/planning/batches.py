"""Which production batches to order in, where taking part in one costs something."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True)
class BatchPlan:
    """Pieces to order in each batch, and what taking part and keeping cost."""

    orders: tuple[float, ...]
    cost: float


def plan_batches(needs: Sequence[float], *, joining: float, keeping: Sequence[float]) -> BatchPlan:
    """The cheapest way to meet each batch's need from it or an earlier one.

    ``needs`` are pieces asked for from each batch until the next. Taking part in a batch costs
    ``joining``; keeping a piece from a batch to the next costs that batch's ``keeping``.
    Wagner and Whitin, *Dynamic version of the economic lot size model*, 1958; Snyder and Shen,
    *Fundamentals of Supply Chain Theory*, 2nd ed., section 3.7.
    """
    number = len(needs)
    best, lasts = np.zeros(number + 1), [number] * number
    for first in reversed(range(number)):
        until = [
            joining + _kept(needs, keeping, first, last) + best[last]
            for last in range(first + 1, number + 1)
        ]
        if not needs[first]:
            until[0] -= joining
        best[first] = min(until)
        lasts[first] = first + 1 + until.index(best[first])
    return BatchPlan(tuple(_orders(needs, lasts)), float(best[0]))


def _kept(needs: Sequence[float], keeping: Sequence[float], first: int, last: int) -> float:
    """What it costs to have all needs up to the last made in the first batch."""
    each = np.concatenate([[0.0], np.cumsum(keeping[first:last])])[: last - first]
    return float(np.dot(needs[first:last], each))


def _orders(needs: Sequence[float], lasts: Sequence[int]) -> list[float]:
    orders = [0.0] * len(needs)
    first = 0
    while first < len(needs):
        orders[first] = float(sum(needs[first : lasts[first]]))
        first = lasts[first]
    return orders
