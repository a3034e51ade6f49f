"""What the season's plan chooses between: fronts and rears that are sold together, or one SKU."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from inventory.planning.arrays import Floats, Ints


@dataclass(frozen=True, slots=True)
class Axle:
    """One side of every group; (groups,) each. All nought where a group has no such side.

    ``mean`` and ``variance`` are of pieces asked for by themselves over the season; ``stock`` is
    there or in time already; ``price`` is what a piece sells for, ``kept`` what one that is left
    is worth.
    """

    mean: Floats
    variance: Floats
    stock: Ints
    cost: Floats
    price: Floats
    kept: Floats
    minimum: Ints
    pack: Ints

    def of(self, rows: Ints) -> Axle:
        return Axle(*(getattr(self, each.name)[rows] for each in fields(Axle)))

    @property
    def earned(self) -> Floats:
        """What a piece sold is worth beyond one that is left."""
        return self.price - self.kept


@dataclass(frozen=True, slots=True)
class Groups:
    """Fronts and rears, and how many whole sets of 2 + 2 are asked for, all or nothing."""

    front: Axle
    rear: Axle
    sets_mean: Floats
    sets_variance: Floats
    supplier: Ints

    def of(self, rows: Ints) -> Groups:
        """Some of them."""
        front, rear = self.front.of(rows), self.rear.of(rows)
        sets = self.sets_mean[rows], self.sets_variance[rows]
        return Groups(front, rear, *sets, self.supplier[rows])


def in_sets(
    front: tuple[Floats, Floats], rear: tuple[Floats, Floats], share: Floats
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Mean and variance of sets, of fronts alone and of rears alone, from those of all pieces.

    ``share`` is that of the scarcer axle's pieces that go out in sets of 2 + 2, as the house finds
    it in its own orders.
    """
    sets = np.minimum(front[0], rear[0]) / 2 * share
    scatter = [np.where(m > 0, v / np.maximum(m, 1e-12), 1.0) for m, v in (front, rear)]
    spread = sets * np.maximum(np.minimum(*scatter) / 2, 1.0)
    alone = [_alone(*each, sets, spread) for each in (front, rear)]
    return (sets, spread), alone[0], alone[1]


def _alone(mean: Floats, variance: Floats, sets: Floats, spread: Floats) -> tuple[Floats, Floats]:
    rest = np.maximum(mean - 2 * sets, 0.0)
    return rest, np.maximum(variance - 4 * spread, rest)
