"""Suppliers' minimums in a small range: what may still be better is handed to a solver."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy import optimize, sparse

from inventory.planning.arrays import Ints
from inventory.planning.budget import Plan, best_of_each, rank
from inventory.planning.choices import Choices
from inventory.planning.core import SECONDS
from inventory.planning.minimums import plan_with_minimums

MOST_GROUPS = 600
"""Above that the solver seldom ends in time, and the proven bound is near anyway."""
NEAR = 1e-6


def plan_with_minimums_exactly(
    choices: Choices, budget: float, minimums: Ints, *, seconds: float = SECONDS
) -> Plan:
    """The best plan that orders of each supplier its minimum or nothing: exact where the range is
    small and time allows."""
    plan = plan_with_minimums(choices, budget, minimums)
    if plan.gap <= NEAR or plan.taken.size > MOST_GROUPS:
        return plan
    found = _solved(choices, budget, minimums, seconds)
    if found is None:
        return plan
    taken, bound = found
    gain, cost = float(choices.gain[taken].sum()), float(choices.cost[taken].sum())
    if gain > plan.gain and cost <= budget and _kept(choices, taken, minimums):
        plan = replace(plan, taken=taken, cost=cost, gain=gain)
    bound = max(min(plan.bound, bound), plan.gain)
    exact = bound - plan.gain <= 1e-9 * max(1.0, bound)
    return replace(plan, bound=plan.gain if exact else bound, exact=exact)


def _kept(choices: Choices, taken: Ints, minimums: Ints) -> bool:
    units = np.bincount(choices.supplier[taken], choices.units[taken], minimums.size)
    return bool(((units == 0) | (units >= minimums)).all())


def _solved(
    choices: Choices, budget: float, minimums: Ints, seconds: float
) -> tuple[Ints, float] | None:
    """The rows taken and a bound; None if the solver found nothing. Beside one variable a choice
    there is one a supplier with a minimum: whether anything is ordered of it."""
    size, group = choices.group.size, rank(choices)
    strict = np.flatnonzero(minimums > 1)
    place = np.full(minimums.size, -1)
    place[strict] = np.arange(strict.size)
    mine = np.flatnonzero(place[choices.supplier] >= 0)
    ordered = sparse.csr_array(
        (choices.units[mine].astype(float), (place[choices.supplier[mine]], mine)),
        shape=(strict.size, size),
    )
    most = np.asarray(ordered.sum(axis=1)).ravel()
    least = sparse.hstack([ordered, sparse.diags_array(-minimums[strict].astype(float))])
    none = sparse.hstack([ordered, sparse.diags_array(-most)])
    one_each = sparse.csr_array(
        (np.ones(size), (group, np.arange(size))), shape=(int(group[-1]) + 1, size + strict.size)
    )
    spent = np.concatenate([choices.cost, np.zeros(strict.size)])
    answer = optimize.milp(
        np.concatenate([-choices.gain, np.zeros(strict.size)]),
        integrality=np.ones(size + strict.size),
        bounds=optimize.Bounds(0, 1),
        constraints=[
            optimize.LinearConstraint(one_each, 1, 1),
            optimize.LinearConstraint(spent[None, :], -np.inf, budget),
            optimize.LinearConstraint(least, 0, np.inf),
            optimize.LinearConstraint(none, -np.inf, 0),
        ],
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    if answer.x is None:
        return None
    bound = -answer.mip_dual_bound if answer.mip_dual_bound is not None else np.inf
    return best_of_each(choices, answer.x[:size]), float(bound)
