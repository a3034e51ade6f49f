"""Months that cannot be right: a slip of a key in one book must not teach the whole range."""

from __future__ import annotations

import numpy as np

from inventory.planning.arrays import Floats
from inventory.planning.demand import History

LEAST_ODD = 200.0
TIMES_THE_REST = 30.0
"""A month of more than so many pieces, and of more than so many times the mean of the SKU's other
months, is left out until somebody has looked at it (common practice, no source)."""


def without_odd_months(history: History) -> tuple[History, Floats]:
    """The history with such months not known, and the pieces left out of each SKU, (SKUs,)."""
    sold = np.maximum(history.sold, 0.0)
    told = (~np.isnan(history.on_shelf)).sum(axis=1)
    others = (sold.sum(axis=1)[:, None] - sold) / np.maximum(told - 1, 1)[:, None]
    odd = sold > np.maximum(LEAST_ODD, TIMES_THE_REST * others)
    if not odd.any():
        return history, np.zeros(len(sold))
    return History(
        np.where(odd, 0.0, history.sold),
        np.where(odd, 0.0, history.unmet),
        np.where(odd, 0.0, history.asked_in_vain),
        np.where(odd, np.nan, history.on_shelf),
    ), np.where(odd, sold, 0.0).sum(axis=1)
