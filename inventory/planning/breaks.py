"""Price breaks, and the order that is cheapest over a year.

Snyder and Shen, *Fundamentals of Supply Chain Theory*, 2nd ed., section 3.4.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum


class Lowers(Enum):
    """What a break lowers: the price of every piece, or of those from the break on."""

    ALL_UNITS = "the price of every piece"
    INCREMENTAL = "the price of further pieces"


@dataclass(frozen=True, slots=True)
class Prices:
    """From ``starts`` pieces on, each costs ``each``: rising from 0 or 1, and falling."""

    starts: Sequence[float]
    each: Sequence[float]
    lowers: Lowers = Lowers.ALL_UNITS

    def tier(self, quantity: float) -> int:
        """The row of the price that so many are sold at."""
        return max((n for n, start in enumerate(self.starts) if start <= quantity), default=0)

    def dearer(self, tier: int) -> float:
        """What the pieces before a break cost beyond its price, where only later ones get it."""
        if self.lowers is Lowers.ALL_UNITS:
            return 0.0
        falls = zip(self.starts[1 : tier + 1], self.each, self.each[1:], strict=False)
        return sum((before - after) * start for start, before, after in falls)

    def bill(self, quantity: float) -> float:
        """What an order of so many costs."""
        tier = self.tier(quantity)
        return quantity * self.each[tier] + self.dearer(tier)


@dataclass(frozen=True, slots=True)
class Costs:
    """What the house reckons with: placing an order, and keeping a piece a year, as a share of
    what it cost."""

    placing: float
    keeping: float

    def yearly(self, quantity: float, sold: float, prices: Prices) -> float:
        """A year in which ``sold`` pieces are bought so many at a time, half of which lie about."""
        each = prices.bill(quantity) / quantity
        return each * sold + self.placing * sold / quantity + self.keeping * each * quantity / 2


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces on an order, the row of their price, and what a year costs."""

    quantity: float
    tier: int
    cost: float


def cheapest_lot(sold: float, costs: Costs, prices: Prices) -> Lot:
    """The order that is cheapest over a year in which ``sold`` pieces go out evenly."""
    tried = {*_economic(sold, costs, prices), *(start for start in prices.starts if start > 0)}
    found = min(tried, key=lambda quantity: costs.yearly(quantity, sold, prices))
    return Lot(found, prices.tier(found), costs.yearly(found, sold, prices))


def _economic(sold: float, costs: Costs, prices: Prices) -> Iterator[float]:
    """The economic order quantity at each price, where it is sold at that price."""
    for tier, each in enumerate(prices.each):
        placing = costs.placing + prices.dearer(tier)
        quantity = math.sqrt(2 * placing * sold / (costs.keeping * each))
        if quantity > 0 and prices.tier(quantity) == tier:
            yield quantity


def worth_ordering(
    least: float, pack: int, sold: float, costs: Costs, prices: Prices, *, most: float
) -> float:
    """The cheapest order over a year that is ``least`` pieces or more, in whole packs.

    ``most`` is what it is never to exceed; ``least`` is ordered where that exceeds it.
    """
    if sold <= 0 or least <= 0:
        return least
    wishes = (cheapest_lot(sold, costs, prices).quantity, *prices.starts)
    tried = [least, *(math.ceil(each / pack) * pack for each in wishes)]
    allowed = [each for each in tried if each == least or least < each <= most]
    return min(allowed, key=lambda quantity: (costs.yearly(quantity, sold, prices), quantity))
