"""What is there, what is known to come, and what is spoken for of that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, Ints


@dataclass(frozen=True, slots=True)
class Shelf:
    """Pieces; (SKUs,) each. ``on_hand`` may be sold, ``held`` of them are spoken for; ``kept_out``
    are in quarantine, blocked or too old, and not among the first."""

    on_hand: Ints
    held: Ints
    kept_out: Ints

    @property
    def free(self) -> Ints:
        return self.on_hand - self.held


@dataclass(frozen=True, slots=True)
class Moves:
    """What is known to come, or is queued for it: row of the SKU, days from today, pieces; one
    entry each. A day below nought is overdue: nobody knows when it comes, so it does not count."""

    sku: Ints
    day: Ints
    units: Ints

    def of(self, rows: Ints, skus: int) -> Moves:
        """Those of some of so many SKUs, renumbered by their position in ``rows``."""
        position = np.full(skus, -1)
        position[rows] = np.arange(rows.size)
        mine = np.flatnonzero(position[self.sku] >= 0)
        return Moves(position[self.sku[mine]], self.day[mine], self.units[mine])

    def by(self, day: Ints) -> Floats:
        """Pieces by each day of a grid, (SKUs, days), days rising along a row."""
        rows, columns = day.shape
        first = np.where(self.day < 0, columns, 0)
        for column in range(columns):
            first += (self.day >= 0) & (day[self.sku, column] < self.day)
        place = self.sku * (columns + 1) + first
        landed = np.bincount(place, self.units, rows * (columns + 1)).reshape(rows, columns + 1)
        return np.cumsum(landed[:, :-1], axis=1)

    def total(self, skus: int) -> Floats:
        """All pieces of each SKU, whenever they come."""
        return np.bincount(self.sku, self.units, skus).astype(float)


def no_moves() -> Moves:
    """Nothing comes."""
    none = np.zeros(0, np.int64)
    return Moves(none, none, none)
