"""Orders that are larger than the need because that is cheaper in the long run."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.batches import plan_batches
from inventory.planning.breaks import Prices, worth_ordering
from inventory.planning.ordering import Quantities, quantities
from inventory.planning.situation import Situation
from inventory.planning.supply import ANY_TIME

_YEAR = 365.0


def lot_sizes(situation: Situation, rows: Ints, steps: Quantities) -> Floats:
    """Pieces to order: whole packs of the need, or a lot that is cheaper over the year.

    That is looked for only where placing an order costs something, or the supplier's price falls
    with the quantity, and the price is known.
    """
    pieces = steps.after_pack.copy()
    joining = situation.house.costs.placing > 0
    month = situation.learned.forecast.rate[rows]
    for n in np.flatnonzero(steps.need > 0):
        row = int(rows[n])
        prices = situation.prices.get(row) or _one_price(situation, row)
        if prices is None or (not joining and len(prices.starts) == 1):
            continue
        if situation.position.supply.batch[row] == ANY_TIME:
            pieces[n] = _over_a_year(situation, row, float(pieces[n]), float(month[n]), prices)
        elif joining:
            need = _over_batches(situation, row, float(steps.need[n]), prices)
            pieces[n] = _in_packs(situation, row, need)
    return pieces


def _one_price(situation: Situation, row: int) -> Prices | None:
    cost = float(situation.catalogue.cost[row])
    return Prices((0,), (cost,)) if np.isfinite(cost) and cost > 0 else None


def _over_a_year(
    situation: Situation, row: int, least: float, month: float, prices: Prices
) -> float:
    house, supply = situation.house, situation.position.supply
    pack, most = int(supply.pack[row]), house.most_months * month
    return worth_ordering(least, pack, 12 * month, house.costs, prices, most=most)


def _over_batches(situation: Situation, row: int, need: float, prices: Prices) -> float:
    """What this batch is to bring: the need, and that of later ones not worth joining."""
    position, costs = situation.position, situation.house.costs
    last = position.ahead.plain.size - 1
    ready = [day for day in position.supply.ready[position.supply.batch[row]] if day <= last]
    days = [ready[0], *sorted(set(ready[1:])), last]
    means = position.ahead.demand(np.array([row]), np.array([days]))[0][0]
    # The first need is what is short until the batch after it; later ones are what is expected.
    needs = [need, *(float(after - before) for before, after in pairwise(means[1:]))]
    keeping = [costs.keeping * prices.each[0] * (b - a) / _YEAR for a, b in pairwise(days)]
    return plan_batches(needs, joining=costs.placing, keeping=keeping).orders[0]


def _in_packs(situation: Situation, row: int, need: float) -> float:
    supply, one = situation.position.supply, np.array([need])
    return float(quantities(one, supply.minimum[[row]], supply.pack[[row]]).after_pack[0])
