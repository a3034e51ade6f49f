"""One purchase before a season: how much, when what is short and what is left both cost.

Snyder and Shen, *Fundamentals of Supply Chain Theory*, 2nd ed., section 4.3.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from inventory.planning.arrays import Floats


def critical_ratio(short: npt.ArrayLike, over: npt.ArrayLike) -> Floats:
    """The chance with which stock is to be enough; broadcasts.

    ``short`` is what a piece too few costs, ``over`` what one too many does. 0 where a piece too
    few costs nothing, 1 where one too many does not.
    """
    under, too_many = np.maximum(np.asarray(short, float), 0.0), np.asarray(over, float)
    total = under + np.maximum(too_many, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(total > 0, under / total, 0.0))


def season_ratio(cost: npt.ArrayLike, price: npt.ArrayLike, leftover: npt.ArrayLike) -> Floats:
    """The same from what a piece costs, sells for, and is worth when the season is over."""
    bought = np.asarray(cost, float)
    return critical_ratio(np.asarray(price) - bought, bought - np.asarray(leftover))
