"""The budget with suppliers' minimums: so many pieces in a batch, or none at all.

Two prices at once: one on money, and for each supplier one that its pieces are paid for while it
is short of its minimum (nested Lagrangian relaxation). Which suppliers are in is then decided by
branch and bound on what each is worth. Plans always keep budget and minimums; bounds are proven.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, replace

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.budget import Plan, summed_up, with_taken
from inventory.planning.choices import Choices
from inventory.planning.priced import Case, Table, case_of, prices_about, table_of
from inventory.planning.topping import topped_up

_WORK = 1_500_000  # choices looked at while plans are tried
_FEWEST, _MOST = 8, 300
_GAP = 1e-6


@dataclass(frozen=True, slots=True)
class Node:
    """Suppliers decided, (suppliers,): 1 in, -1 out, 0 open. No plan of it gains more than
    ``bound``, proven at row ``price``; ``chosen`` are the suppliers that are in there."""

    decided: Ints
    bound: float
    price: int
    chosen: Flags


def plan_with_minimums(choices: Choices, budget: float, minimums: Ints) -> Plan:
    """The best plan found within the budget that orders of each supplier its minimum or nothing.

    ``minimums`` (suppliers,) are pieces, 0 or 1 where there is none.
    """
    if not choices.group.size:
        return Plan(np.zeros(0, np.int64), 0.0, 0.0, 0.0, 0.0)
    case = case_of(choices, budget, minimums)
    return _branched(case, table_of(case, prices_about(case)))


def _branched(case: Case, table: Table) -> Plan:
    """Branch and bound, the most promising first, as long as the work allowed lasts."""
    root = _node(case, table, np.zeros(case.suppliers, np.int64))
    best = summed_up(case.choices, case.nothing, 0.0, float(table.prices[root.price]))
    open_, tried, seen = [(-root.bound, 0, root)], 0, 0
    allowed = int(np.clip(_WORK // case.choices.group.size, _FEWEST, _MOST))
    closed = 0.0  # the bound of branches that cannot be divided further
    while open_ and tried < allowed and -open_[0][0] > best.gain * (1 + _GAP):
        node = heapq.heappop(open_)[2]
        tried += 1
        found = _tried(case, table, node, best)
        best = found if found.gain > best.gain else best
        children = _children(case, table, node)
        closed = closed if children else max(closed, node.bound)
        for child in children:
            seen += 1
            heapq.heappush(open_, (-child.bound, seen, child))
    bound = max(best.gain, closed, -open_[0][0] if open_ else 0.0)
    return replace(best, bound=bound, exact=bound <= best.gain)


def _node(case: Case, table: Table, decided: Ints) -> Node:
    """The bound of a branch: the lowest over all prices of money."""
    worth = np.where(decided == 0, np.maximum(table.worth, 0.0), table.worth)
    worth = np.where(decided < 0, 0.0, worth)
    bounds = table.prices * case.budget + worth.sum(axis=1)
    price = int(np.argmin(bounds))
    chosen = (decided > 0) | ((decided == 0) & (table.worth[price] > 0))
    return Node(decided, float(bounds[price]), price, chosen)


def _children(case: Case, table: Table, node: Node) -> list[Node]:
    """The two branches of the supplier that is nearest to the fence, for its money."""
    worth, cost = table.worth[node.price], table.cost[node.price]
    doubt = np.where(np.isfinite(worth), np.abs(worth) / (cost + 1.0), np.inf)
    doubt = np.where(node.decided == 0, doubt, np.inf)
    supplier = int(np.argmin(doubt))
    if not np.isfinite(doubt[supplier]):
        return []
    return [_node(case, table, _decide(node.decided, supplier, way)) for way in (1, -1)]


def _decide(decided: Ints, supplier: int, way: int) -> Ints:
    decided = decided.copy()
    decided[supplier] = way
    return decided


def _tried(case: Case, table: Table, node: Node, plan: Plan) -> Plan:
    """A plan of the suppliers that are in: at the lowest price that the budget allows, topped up.

    Where no price does, those that are worth least for their money are left out.
    """
    chosen = node.chosen.copy()
    while (row := _affordable(case, table, chosen)) is None:
        ratio = np.where(chosen, table.worth[-1] / (table.cost[-1] + 1.0), np.inf)
        chosen[np.argmin(ratio)] = False
    taken = np.where(chosen[case.supplier], table.taken[row], case.nothing)
    price = float(table.prices[row])
    args = case.choices, case.rank, taken, case.budget, price, case.minimums
    return replace(with_taken(case.choices, plan, topped_up(*args)), price_of_money=price)


def _affordable(case: Case, table: Table, chosen: Flags) -> int | None:
    costs: Floats = table.cost[:, chosen].sum(axis=1)
    rows = np.flatnonzero(costs <= case.budget)
    return int(rows[0]) if rows.size else None
