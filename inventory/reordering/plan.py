"""The season's order within its money: what of each SKU, and what no plan could better."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from inventory.planning import NO_MATE, Purse
from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.budget import Plan
from inventory.planning.choices import Choices, choices
from inventory.planning.core import plan_exactly
from inventory.planning.core_minimums import plan_with_minimums_exactly
from inventory.planning.groups import Axle, Groups, in_sets
from inventory.planning.supply import ANY_TIME
from inventory.reordering.outlook import Outlook

KEPT = 0.75
"""What a tyre left at the season's end is still worth of its cost (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PlanLine:
    """So many of one SKU; ``gain`` is that of the front and rear together, on the front's line."""

    row: int
    code: str
    pieces: int
    cost: float
    gain: float


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """What to order within the budget. ``bound``: no plan gains more. ``left_out`` SKUs have no
    price, none in the season's currency, or earn nothing."""

    lines: tuple[PlanLine, ...]
    budget: float
    cost: float
    gain: float
    bound: float
    price_of_money: float
    exact: bool
    left_out: int
    purse: Purse

    @property
    def gap(self) -> float:
        """The share of the bound that may be missed, at the most."""
        return max(0.0, 1.0 - self.gain / self.bound) if self.bound > 0 else 0.0


def season_plan(found: Outlook, budget: Decimal, currency: str) -> SeasonPlan:
    """The best order found that costs no more than the budget.

    Fronts and rears that go out together are weighed together. A batch of a supplier that has a
    least number of tyres gets that many or none.
    """
    planned = _planned(found, currency)
    first = np.flatnonzero(planned & ~_is_rear(found, planned))
    groups, minimums = _groups(found, first, planned)
    offered = choices(groups)
    money = float(budget)
    if (minimums > 1).any():
        plan = plan_with_minimums_exactly(offered, money, minimums)
    else:
        plan = plan_exactly(offered, money)
    return _told(found, first, offered, plan, money, planned)


def _planned(found: Outlook, currency: str) -> Flags:
    """SKUs whose money can be reckoned, and that earn something."""
    known, suppliers = found.known, found.suppliers
    same = np.array([one == currency for one in suppliers.currency], bool)
    same &= np.array([one == currency for one in known.currency], bool)
    return np.asarray(same & known.made & (known.price > suppliers.cost) & (suppliers.cost > 0))


def _is_rear(found: Outlook, planned: Flags) -> Flags:
    """Rears whose front is planned too: they stand beside it."""
    mate = found.known.mate
    rear = np.array([place == "rear" for place in found.known.place], bool)
    return np.asarray(rear & (mate != NO_MATE) & planned[np.maximum(mate, 0)])


def _groups(found: Outlook, first: Ints, planned: Flags) -> tuple[Groups, Ints]:
    mate = found.known.mate[first]
    paired = (mate != NO_MATE) & planned[np.maximum(mate, 0)]
    second = np.where(paired, mate, first)
    front, rear = (_asked(found, rows) for rows in (first, second))
    rear = (np.where(paired, rear[0], 0.0), np.where(paired, rear[1], 0.0))
    share = np.where(paired, found.known.in_sets[first], 0.0)
    sets, front, rear = in_sets(front, rear, share)
    supplier, minimums = _batches(found, first)
    return Groups(
        _axle(found, first, front, np.ones(first.size, bool)),
        _axle(found, second, rear, paired),
        *sets,
        supplier,
    ), minimums


def _asked(found: Outlook, rows: Ints) -> tuple[Floats, Floats]:
    """Mean and variance of what is asked for until the season ends."""
    house = found.situation.house
    end = np.full(rows.size, (house.season_end - house.today).days)
    return found.situation.position.ahead.demand(rows, end)


def _axle(found: Outlook, rows: Ints, asked: tuple[Floats, Floats], there: Flags) -> Axle:
    position, house = found.situation.position, found.situation.house
    end = np.full((rows.size, 1), (house.season_end - house.today).days)
    stock = np.maximum(position.part(rows).stock(end)[:, 0], 0).astype(np.int64)
    cost = np.where(there, found.suppliers.cost[rows], 0.0)
    supply = position.supply
    return Axle(
        *asked,
        np.where(there, stock, 0),
        cost,
        np.where(there, found.known.price[rows], 0.0),
        KEPT * cost,
        supply.minimum[rows],
        supply.pack[rows],
    )


def _batches(found: Outlook, rows: Ints) -> tuple[Ints, Ints]:
    """The batch of each group, counted from 1 (0: none), and the least that each batch takes."""
    least = {(run.supplier, run.batch.code): run.minimum for run in found.suppliers.runs}
    supply = found.situation.position.supply
    seen: dict[tuple[int, str], int] = {}
    number = np.zeros(rows.size, np.int64)
    for n in np.flatnonzero(supply.batch[rows] != ANY_TIME).tolist():
        code = supply.batches[supply.batch[rows[n]]].code
        key = (int(found.suppliers.supplier[rows[n]]), code)
        number[n] = seen.setdefault(key, len(seen) + 1)
    return number, np.array([0, *(least.get(key, 0) for key in seen)], np.int64)


def _told(
    found: Outlook, first: Ints, offered: Choices, plan: Plan, money: float, planned: Flags
) -> SeasonPlan:
    known, cost = found.known, found.suppliers.cost
    lines = []
    for row in plan.taken.tolist():
        group = int(first[offered.group[row]])
        mate = int(known.mate[group])
        fronts, rears = int(offered.front[row]), int(offered.rear[row])
        gain = float(offered.gain[row])
        if fronts:
            lines.append(
                PlanLine(group, known.code[group], fronts, float(fronts * cost[group]), gain)
            )
        if rears:
            told = 0.0 if fronts else gain
            lines.append(PlanLine(mate, known.code[mate], rears, float(rears * cost[mate]), told))
    return SeasonPlan(
        tuple(sorted(lines, key=lambda line: (-line.gain, line.code))),
        money,
        plan.cost,
        plan.gain,
        plan.bound,
        plan.price_of_money,
        plan.exact,
        int(known.count - planned.sum()),
        Purse(money, _earned(found, first, offered, plan), plan.price_of_money),
    )


def _earned(found: Outlook, first: Ints, offered: Choices, plan: Plan) -> Floats:
    """What a unit of money spent on each SKU earns: as in the plan, or at its best outside it."""
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(offered.cost > 0, offered.gain / offered.cost, 0.0)
    best = np.maximum.reduceat(ratio, offered.starts) if ratio.size else ratio
    taken = np.where(ratio[plan.taken] > 0, ratio[plan.taken], best)
    earned = np.zeros(found.known.count)
    earned[first] = taken
    mate = found.known.mate[first]
    earned[mate[mate != NO_MATE]] = taken[mate != NO_MATE]
    return earned
