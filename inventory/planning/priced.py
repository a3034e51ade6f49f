"""What each supplier is worth at each price of money, its minimum kept."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints, summed
from inventory.planning.budget import best_of_each, rank
from inventory.planning.choices import Choices

_HALVINGS = 20
_FINE, _STEP, _COARSE = 15, 0.004, (0.0, 0.25, 0.4, 0.55, 0.7, 0.8, 0.88, 1.15, 1.3, 1.6, 2.2, 4.0)


@dataclass(frozen=True, slots=True)
class Case:
    """Choices, budget and minimums; ``nothing`` is the row of each group's first choice."""

    choices: Choices
    budget: float
    minimums: Ints
    rank: Ints
    nothing: Ints

    @property
    def suppliers(self) -> int:
        return self.minimums.size

    @property
    def supplier(self) -> Ints:
        """That of each group."""
        return np.asarray(self.choices.supplier[self.nothing])

    def of_each(self, values: Floats, taken: Ints) -> Floats:
        """The sum of what is taken of each supplier."""
        return summed(values[taken], self.supplier, self.suppliers)

    def possible(self) -> Flags:
        """Suppliers whose minimum can be reached at all."""
        most = np.maximum.reduceat(self.choices.units, self.nothing)
        return summed(most, self.supplier, self.suppliers) >= self.minimums


def case_of(choices: Choices, budget: float, minimums: Ints) -> Case:
    """The case, its numbers counted once."""
    return Case(choices, max(budget, 0.0), minimums, rank(choices), choices.starts)


@dataclass(frozen=True, slots=True)
class Table:
    """By price of money, rising: ``taken`` (prices, groups) keeps every supplier's minimum;
    ``worth`` (prices, suppliers) is the most that one can gain beyond that price, ``cost`` what it
    takes. A supplier whose minimum cannot be reached is worth nothing, ever."""

    prices: Floats
    taken: Ints
    worth: Floats
    cost: Floats


def table_of(case: Case, prices: Floats) -> Table:
    """The table at some prices of money."""
    possible = case.possible()
    rows = [_at(case, float(price), possible) for price in prices]
    taken = np.stack([row[0] for row in rows])
    cost = np.stack([case.of_each(case.choices.cost, each) for each in taken])
    return Table(prices, taken, np.stack([row[1] for row in rows]), cost)


def prices_about(case: Case) -> Floats:
    """Prices of money that matter: close together where the budget is just spent."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratios = np.where(case.choices.cost > 0, case.choices.gain / case.choices.cost, 0.0)
    low, high = 0.0, float(ratios.max(initial=0.0)) + 1e-9
    possible = case.possible()
    for _ in range(12):
        middle = (low + high) / 2
        taken, worth = _at(case, middle, possible)
        spent = case.of_each(case.choices.cost, taken)[worth > 0].sum()
        low, high = (middle, high) if spent > case.budget else (low, middle)
    fine = 1.0 + _STEP * np.arange(-_FINE, _FINE + 1)
    return np.unique(np.concatenate([fine, _COARSE]) * high)


def _at(case: Case, price: float, possible: Flags) -> tuple[Ints, Floats]:
    """What is taken at a price of money, and each supplier's worth.

    Suppliers that fall short pay a price for each piece; all are halved at once.
    """
    choices = case.choices
    score = choices.gain - price * choices.cost
    taken = best_of_each(choices, score)
    worth = case.of_each(score, taken)
    short = possible & (case.of_each(choices.units.astype(float), taken) < case.minimums)
    if short.any():
        _reach(case, score, short, taken, worth)
    return taken, np.where(possible, worth, -np.inf)


def _reach(case: Case, score: Floats, short: Flags, taken: Ints, worth: Floats) -> None:
    """Brings the suppliers that are short to their minimum, in place."""
    rows = np.flatnonzero(short[case.choices.supplier])
    mine = case_of(case.choices.of(rows), case.budget, case.minimums)
    groups, score = case.rank[rows[mine.nothing]], score[rows]
    units, supplier = mine.choices.units.astype(float), mine.choices.supplier
    low, high = np.zeros(case.suppliers), _dear_enough(mine, score)
    paid = high
    for _ in range(_HALVINGS):
        offered = score + paid[supplier] * units
        tried = best_of_each(mine.choices, offered)
        bound = mine.of_each(offered, tried) - paid * case.minimums
        worth[short] = np.minimum(worth, bound)[short]
        enough = mine.of_each(units, tried) >= case.minimums
        better = enough[mine.supplier]
        taken[groups[better]] = rows[tried[better]]
        low, high = np.where(enough, low, paid), np.where(enough, paid, high)
        paid = (low + high) / 2


def _dear_enough(case: Case, score: Floats) -> Floats:
    """So much for each piece makes every group take as many as it can."""
    most = np.maximum.reduceat(score, case.nothing) - np.minimum.reduceat(score, case.nothing)
    each = np.zeros(case.suppliers)
    np.maximum.at(each, case.supplier, most)
    return each + 1.0
