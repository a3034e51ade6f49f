"""Fronts and rears are sold together: sets, not pieces."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from inventory.planning.arrays import Ints

PER_AXLE = 2


def sellable_sets(front: npt.ArrayLike, rear: npt.ArrayLike) -> Ints:
    """Sets of 2 + 2 that so many free pieces make; broadcasts."""
    fewer = np.minimum(np.asarray(front), np.asarray(rear))
    return np.asarray(np.maximum(fewer, 0) // PER_AXLE, np.int64)
