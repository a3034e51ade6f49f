"""The exact plan of a small range: what may still be better is handed to a solver."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy import optimize, sparse

from inventory.planning.arrays import Flags
from inventory.planning.budget import Plan, best_of_each, plan_within, rank
from inventory.planning.choices import Choices

MOST_GROUPS = 5000
"""Above that the bound is so near that an exact answer is not worth the wait."""
SECONDS = 2.0


def plan_exactly(choices: Choices, budget: float, *, seconds: float = SECONDS) -> Plan:
    """The best plan within the budget: exact where the range is small and time allows."""
    plan = plan_within(choices, budget)
    if plan.gap == 0 or plan.taken.size > MOST_GROUPS:
        return replace(plan, exact=plan.gap == 0)
    core = _may_be_better(choices, plan, budget)
    found = _solved(choices.of(core), budget, seconds)
    if found is None:
        return plan
    taken, bound = np.flatnonzero(core)[found[0]], found[1]
    gain, cost = float(choices.gain[taken].sum()), float(choices.cost[taken].sum())
    # What was left out of the core gains no more than the plan that was there.
    bound = max(min(plan.bound, max(bound, plan.gain)), gain)
    if gain > plan.gain and cost <= budget:
        plan = replace(plan, taken=taken, cost=cost, gain=gain)
    exact = bound - plan.gain <= 1e-9 * max(1.0, bound)
    return replace(plan, bound=plan.gain if exact else bound, exact=exact)


def _may_be_better(choices: Choices, plan: Plan, budget: float) -> Flags:
    """Choices that the bound does not rule out, and those taken."""
    price = plan.price_of_money
    score = choices.gain - price * choices.cost
    best = score[best_of_each(choices, score)]
    bound = best.sum() + price * budget
    open_ = bound - (best[rank(choices)] - score) > plan.gain
    open_[plan.taken] = True
    return np.asarray(open_)


def _solved(core: Choices, budget: float, seconds: float) -> tuple[np.ndarray, float] | None:
    """The rows taken and a bound, by the solver's branch and bound; None if it found nothing."""
    size, group = core.group.size, rank(core)
    one_each = sparse.csr_array((np.ones(size), (group, np.arange(size))))
    answer = optimize.milp(
        -core.gain,
        integrality=np.ones(size),
        bounds=optimize.Bounds(0, 1),
        constraints=[
            optimize.LinearConstraint(one_each, 1, 1),
            optimize.LinearConstraint(core.cost[None, :], -np.inf, budget),
        ],
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    if answer.x is None:
        return None
    bound = -answer.mip_dual_bound if answer.mip_dual_bound is not None else np.inf
    return best_of_each(core, answer.x), float(bound)
