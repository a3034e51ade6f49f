"""The arrays that planning computes with: one row a SKU, one column a period."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


def summed(values: Floats, group: Ints, groups: int) -> Floats:
    """The sum of each group's values; (groups,)."""
    return np.bincount(group, weights=values, minlength=groups).astype(float)
