"""What may be ordered of each group, what it costs, and what it is expected to gain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np

from inventory.planning.arrays import Flags, Floats, Ints
from inventory.planning.groups import Axle, Groups
from inventory.planning.levels import quantile
from inventory.planning.newsvendor import season_ratio
from inventory.planning.values import worth

STEPS = 9
"""Quantities of one axle that are looked at, none included."""
_AT_ONCE = 400_000  # cells of a table in memory


@dataclass(frozen=True, slots=True)
class Choices:
    """All of all groups, a group's own together, the cheapest (nothing) first; (choices,) each.

    ``gain`` is over buying nothing, in money, the cost paid; ``units`` are ``front`` + ``rear``.
    """

    group: Ints
    front: Ints
    rear: Ints
    cost: Floats
    gain: Floats
    supplier: Ints

    @property
    def units(self) -> Ints:
        return self.front + self.rear

    @property
    def starts(self) -> Ints:
        """Where each group begins."""
        return np.flatnonzero(np.diff(self.group, prepend=-1))

    def of(self, which: Ints | Flags) -> Choices:
        """Some of them."""
        return Choices(*(getattr(self, each.name)[which] for each in fields(Choices)))


def choices(groups: Groups) -> Choices:
    """Every quantity that may be worth it: 0, the minimum, and packs on top of it.

    A choice that costs as much as another and gains no more is left out.
    """
    if not groups.supplier.size:
        none = np.zeros(0, np.int64)
        return Choices(none, none, none, none.astype(float), none.astype(float), none)
    parts = [_some(groups.of(rows), rows) for rows in _slices(groups)]
    columns = [np.concatenate([getattr(each, f.name) for each in parts]) for f in fields(Choices)]
    order = np.lexsort((columns[3], columns[0]))
    return Choices(*(column[order] for column in columns))


def _slices(groups: Groups) -> Iterator[Ints]:
    """Groups of about the same size together, so that tables are not mostly empty."""
    size = groups.front.stock + groups.rear.stock
    size = size + (2 * groups.sets_mean + groups.front.mean + groups.rear.mean).astype(np.int64)
    order = np.argsort(size, kind="stable")
    room = np.cumsum((size[order] + 10) * STEPS) // _AT_ONCE
    yield from np.split(order, np.flatnonzero(np.diff(room)) + 1)


def _some(groups: Groups, rows: Ints) -> Choices:
    front, rear = quantities_of(groups, groups.front), quantities_of(groups, groups.rear)
    sold = worth(groups, groups.front.stock[:, None] + front, groups.rear.stock[:, None] + rear)
    cost = _along(front * groups.front.cost[:, None], rear * groups.rear.cost[:, None])
    lost = _along(front * _lost(groups.front), rear * _lost(groups.rear))
    gain = sold - sold[:, :1, :1] - lost
    flat = [each.reshape(len(rows), -1) for each in (cost, gain)]
    pieces = [each.reshape(len(rows), -1) for each in np.broadcast_arrays(*_axes(front, rear))]
    line, place = np.nonzero(_useful(*flat))
    cost, gain, fronts, rears = (each[line, place] for each in (*flat, *pieces))
    return Choices(rows[line], fronts, rears, cost, gain, groups.supplier[line])


def quantities_of(groups: Groups, axle: Axle) -> Ints:
    """0, the minimum, and then by packs up to where no further piece can earn; (groups, STEPS).

    No piece earns more than itself and its share of a set that would else not be sold.
    """
    both = groups.front.earned + groups.rear.earned
    ratio = np.minimum(season_ratio(axle.cost, axle.kept + both, axle.kept), 0.999)
    mean = 2 * groups.sets_mean + axle.mean
    most = quantile(ratio, mean, 4 * groups.sets_variance + axle.variance) - axle.stock
    minimum, pack = np.maximum(axle.minimum, 1), np.maximum(axle.pack, 1)
    first = -(-minimum // pack) * pack
    packs = np.maximum(np.ceil((most - first) / pack), 0)[:, None]
    steps = np.ceil(packs * np.arange(STEPS - 1) / (STEPS - 2)).astype(np.int64)
    bought = first[:, None] + steps * pack[:, None]
    bought = np.where((most[:, None] > 0) & (axle.cost[:, None] > 0), bought, 0)
    return np.concatenate([np.zeros((len(most), 1), np.int64), bought], axis=1)


def _lost(axle: Axle) -> Floats:
    """What a piece loses by lying about till the season is over."""
    return (axle.cost - axle.kept)[:, None]


def _axes(front: Ints, rear: Ints) -> tuple[Ints, Ints]:
    return front[:, :, None], rear[:, None, :]


def _along(front: Floats, rear: Floats) -> Floats:
    return front[:, :, None] + rear[:, None, :]


def _useful(cost: Floats, gain: Floats) -> Flags:
    """Nothing, and whatever gains more than all that is no dearer; by group."""
    order = np.lexsort((-gain, cost), axis=1)
    sorted_gain = np.take_along_axis(gain, order, axis=1)
    before = np.maximum.accumulate(sorted_gain, axis=1)[:, :-1]
    useful = np.concatenate([np.ones((len(cost), 1), bool), sorted_gain[:, 1:] > before], axis=1)
    found = np.zeros(cost.shape, bool)
    np.put_along_axis(found, order, useful, axis=1)
    return found
