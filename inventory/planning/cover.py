"""How long the stock of every SKU lasts, in slices that memory allows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np

from inventory.planning.arrays import Ints
from inventory.planning.projection import WEEK, Ahead, Cover, Part, project
from inventory.planning.shelf import Moves, Shelf
from inventory.planning.supply import Supply

_AT_ONCE = 1_000_000  # SKUs x weeks in memory at a time


@dataclass(frozen=True, slots=True)
class Position:
    """All that the projection rests on: demand ahead, the shelf, what comes, what is queued for
    it, and the next order."""

    ahead: Ahead
    shelf: Shelf
    coming: Moves
    queued: Moves
    supply: Supply

    def part(self, rows: Ints) -> Part:
        """Some SKUs of it."""
        supply = self.supply
        coming, queued = (each.of(rows, supply.until.size) for each in (self.coming, self.queued))
        lands, until = supply.lands[rows, None], supply.until[rows, None]
        free = self.shelf.free[rows, None].astype(float)
        spread = supply.spread[rows, None]
        return Part(self.ahead, rows, coming, queued, lands, until, spread, free)


def cover(position: Position, *, service: float, rows: Ints | None = None) -> Cover:
    """The projection of every SKU, or of those in ``rows``, in their order.

    ``service`` is the chance with which stock is to be enough, such as 0.95.
    """
    until = position.supply.until
    wanted = np.arange(until.size) if rows is None else rows
    order = np.argsort(until[wanted], kind="stable")
    parts = [project(position.part(some), service) for some in _slices(wanted[order], until)]
    back = np.argsort(order)
    columns = ([getattr(part, each.name) for part in parts] for each in fields(Cover))
    return Cover(*(np.concatenate(column)[back] for column in columns))


def _slices(rows: Ints, until: Ints) -> Iterator[Ints]:
    """Rows in slices that are no bigger than memory allows; one at least, empty or not."""
    room = np.cumsum(-(-until[rows] // WEEK)) // _AT_ONCE
    yield from np.split(rows, np.flatnonzero(np.diff(room)) + 1)
