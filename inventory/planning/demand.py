"""What was asked for: not what was sold, where there was nothing to sell.

Sales understate demand when the shelf was empty. Two things put that right: days with nothing to
sell do not count as days without demand, and what was asked for in vain is counted. Not everyone
who asks in vain is written down, so the two must not be added blindly: a day with an empty shelf
counts for the share of askers that the house is found to write down.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats


@dataclass(frozen=True, slots=True)
class History:
    """What the books say; each (SKUs, months), the newest month last.

    ``sold`` are pieces despatched less pieces that came back: may be below nought. What was queued
    for counts once: when it goes out, or, where it has not, as asked in vain when it was queued.
    ``unmet`` were asked for and not had on days when the SKU was on the shelf.
    ``asked_in_vain`` were asked for on days when it was not.
    ``on_shelf`` is the share of the month's days with something to sell, 0 to 1; NaN for a month
    in which the SKU was not in the catalogue.
    """

    sold: Floats
    unmet: Floats
    asked_in_vain: Floats
    on_shelf: Floats


@dataclass(frozen=True, slots=True)
class Demand:
    """Pieces asked for, and for how much of each month they stand; each (SKUs, months).

    ``written_down`` is the share of askers before an empty shelf that the house writes down.
    ``unexplained`` (SKUs,) are pieces that came back without a sale in the history to set them
    against.
    """

    units: Floats
    exposure: Floats
    written_down: float
    unexplained: Floats


def asked_for(
    history: History, season: Floats | float = 1.0, written_down: float | None = None
) -> Demand:
    """Demand of a history: returns set against the sales before them, empty shelves allowed for.

    ``season`` (SKUs, months) or a number is what a month counts for, 1 on average.
    ``written_down`` as it was learnt of the whole house, where this is only a part of it.
    """
    sold, unexplained = against_earlier_sales(history.sold)
    listed = ~np.isnan(history.on_shelf)
    on_shelf = np.clip(np.nan_to_num(history.on_shelf), 0.0, 1.0)
    had = sold + history.unmet
    share = written_down
    if share is None:
        share = share_written_down(had, history.asked_in_vain, on_shelf, season * listed)
    seen = on_shelf + share * (1.0 - on_shelf) * listed
    # Pieces that went out although the shelf was bare the whole month stand for a month, not none.
    exposure = np.where((had > 0) & (on_shelf == 0), 1.0, seen)
    return Demand(had + history.asked_in_vain, exposure, share, unexplained)


def against_earlier_sales(net: Floats) -> tuple[Floats, Floats]:
    """Months below nought, set against the sales before them, the latest first.

    Returns what remains of each month, (SKUs, months), and the returns for which there was no
    sale, (SKUs,).
    """
    sold = np.array(net, float)
    owed = np.zeros(sold.shape[0])
    if not (sold < 0).any():
        return sold, owed
    for month in reversed(range(sold.shape[1])):
        left = sold[:, month] - owed
        owed = np.maximum(-left, 0.0)
        sold[:, month] = np.maximum(left, 0.0)
    return sold, owed


def share_written_down(had: Floats, in_vain: Floats, on_shelf: Floats, season: Floats) -> float:
    """Askers before an empty shelf that were written down / those to be expected; 0 to 1.

    To be expected is what the same SKU was asked for while it was on the shelf, by the season. One
    share for the whole house, since few SKUs are asked for in vain often enough to tell.
    """
    stocked = (on_shelf * season).sum(axis=1)
    known = stocked > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(known, had.sum(axis=1) / stocked, 0.0)
    expected = float(rate @ ((1.0 - on_shelf) * season).sum(axis=1))
    recorded = float(in_vain[known].sum())
    return min(1.0, recorded / expected) if expected > 0 else 0.0
