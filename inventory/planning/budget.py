"""The season's budget: which of all choices to take for a given sum of money.

A multiple-choice knapsack. A price is put on money: each group takes what gains most beyond it,
and the price is moved until the sum is spent (Lagrangian relaxation). What is left over buys the
best of what still fits. The price also proves how much more any plan could gain.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.choices import Choices

_HALVINGS = 45


@dataclass(frozen=True, slots=True)
class Plan:
    """``taken`` (groups,) is the row of each group's choice; ``cost`` and ``gain`` are sums.

    No plan can gain more than ``bound``. ``price_of_money`` is what the last unit of it earns.
    ``exact``: the solver has shown that none gains more.
    """

    taken: Ints
    cost: float
    gain: float
    bound: float
    price_of_money: float
    exact: bool = False

    @property
    def gap(self) -> float:
        """The share of the bound that may be missed, at the most."""
        return max(0.0, 1.0 - self.gain / self.bound) if self.bound > 0 else 0.0


def best_of_each(choices: Choices, score: Floats) -> Ints:
    """The row of each group's best choice; the cheapest where several are."""
    best = np.maximum.reduceat(score, choices.starts)
    rows = np.flatnonzero(score >= best[rank(choices)])
    return np.asarray(rows[np.flatnonzero(np.diff(choices.group[rows], prepend=-1))])


def rank(choices: Choices) -> Ints:
    """The number of each choice's group, counted from 0 without gaps."""
    return np.cumsum(np.diff(choices.group, prepend=-1) != 0) - 1


def plan_within(choices: Choices, budget: float) -> Plan:
    """The best plan found that costs no more than the budget, with its bound."""
    if not choices.group.size:
        return Plan(np.zeros(0, np.int64), 0.0, 0.0, 0.0, 0.0)
    found = priced(choices, max(budget, 0.0))
    return filled(choices, found, max(budget, 0.0))


def priced(choices: Choices, budget: float) -> Plan:
    """What each group takes at the lowest price of money at which the sum is not exceeded."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratios = np.where(choices.cost > 0, choices.gain / choices.cost, 0.0)
    low, high = 0.0, float(ratios.max(initial=0.0)) + 1e-9
    taken, bound = best_of_each(choices, choices.gain), np.inf
    price = 0.0
    for _ in range(_HALVINGS):
        score = choices.gain - price * choices.cost
        tried = best_of_each(choices, score)
        bound = min(bound, float(score[tried].sum()) + price * budget)
        if choices.cost[tried].sum() <= budget:
            taken, high = tried, price
            if price == 0:
                break
        else:
            low = price
        price = (low + high) / 2
        if high - low < 1e-9 * high:
            break
    if choices.cost[taken].sum() > budget:
        taken = choices.starts
    return summed_up(choices, taken, bound, high)


def summed_up(choices: Choices, taken: Ints, bound: float, price: float) -> Plan:
    """A plan of the choices taken."""
    cost, gain = float(choices.cost[taken].sum()), float(choices.gain[taken].sum())
    return Plan(taken, cost, gain, max(bound, gain), price)


def filled(choices: Choices, plan: Plan, budget: float) -> Plan:
    """The same, with what is left of the money put where it still fits and gains."""
    taken, group = plan.taken.copy(), rank(choices)
    for _ in range(4):
        rest = budget - float(choices.cost[taken].sum())
        more = choices.gain - choices.gain[taken][group]
        extra = choices.cost - choices.cost[taken][group]
        rows = np.flatnonzero((more > 0) & (extra <= rest))
        if not rows.size:
            break
        rows = rows[np.argsort(-more[rows] / np.maximum(extra[rows], 1e-12), kind="stable")]
        _take(taken, rows.tolist(), group, extra, rest)
    return with_taken(choices, plan, taken)


def _take(taken: Ints, rows: list[int], group: Ints, extra: Floats, rest: float) -> None:
    """One change a group, in this order, as long as the money lasts."""
    changed: set[int] = set()
    for row in rows:
        if extra[row] <= rest and group[row] not in changed:
            changed.add(int(group[row]))
            taken[group[row]] = row
            rest -= float(extra[row])


def with_taken(choices: Choices, plan: Plan, taken: Ints) -> Plan:
    """The plan with other choices taken."""
    cost, gain = float(choices.cost[taken].sum()), float(choices.gain[taken].sum())
    return replace(plan, taken=taken, cost=cost, gain=gain)
