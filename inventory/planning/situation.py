"""All that the alerts are made from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from inventory.planning.arrays import Floats, Ints
from inventory.planning.breaks import Costs, Prices
from inventory.planning.cover import Position
from inventory.planning.learning import Learned

NO_MATE = -1
NO_PLACING = Costs(placing=0.0, keeping=0.25)
"""An order costs nothing to place; a piece kept a year costs a quarter of its price (common
practice, no source)."""


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What the SKUs are called, and who goes with whom. One entry a SKU; ``categories`` one a
    category. ``mate`` is the row of the other axle's tyre, ``NO_MATE`` where there is none.
    ``cost`` of a piece may be NaN: not known."""

    code: Sequence[str]
    size: Sequence[str]
    place: Sequence[str]
    mate: Ints
    cost: Floats
    categories: Sequence[str]


@dataclass(frozen=True, slots=True)
class House:
    """How the house reckons. ``season_end`` is the day after which leftovers lie till next year.
    ``costs`` of placing an order and keeping a piece; ``most_months`` of demand that a cheap lot
    may be; ``set_size`` what is left over is told in."""

    today: date
    as_of: datetime
    season_end: date
    service: float = 0.95
    costs: Costs = NO_PLACING
    most_months: float = 12.0
    set_size: int = 4


@dataclass(frozen=True, slots=True)
class Purse:
    """What the season's plan says of money: the budget, what a unit of it spent on each SKU is
    expected to earn, (SKUs,), and what the last unit in the plan earns."""

    budget: float
    gain: Floats
    price_of_money: float


@dataclass(frozen=True, slots=True)
class Situation:
    """``references`` name the entries of ``position.coming``, and ``due`` their dates as they
    were told. ``prices`` has the price breaks of some SKUs by row, ``sets`` the complete sets that
    some make with their mates, where these were matched tyre by tyre and not by number."""

    house: House
    catalogue: Catalogue
    learned: Learned
    position: Position
    references: Sequence[str]
    due: Sequence[date]
    prices: Mapping[int, Prices]
    purse: Purse | None = None
    sets: Mapping[int, int] = field(default_factory=dict)
