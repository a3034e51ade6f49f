"""Two words that are never mixed: a chance of not running out, and a share of pieces served.

The first is the cycle service level, the second the fill rate, of an order-up-to level S that is
reviewed every so often and filled up after a lead time (textbook definitions, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, Ints
from inventory.planning.levels import at_most, quantile, short


@dataclass(frozen=True, slots=True)
class Protection:
    """Demand over a lead time, and over a lead time and the review after it. Arrays broadcast."""

    lead_mean: Floats
    lead_variance: Floats
    mean: Floats
    variance: Floats

    def __getitem__(self, which: Ints) -> Protection:
        return Protection(
            self.lead_mean[which], self.lead_variance[which], self.mean[which], self.variance[which]
        )

    def service(self, level: Floats) -> Floats:
        """The chance that a level is enough until what is ordered at the next review has come."""
        return at_most(level, self.mean, self.variance)

    def fill(self, level: Floats) -> Floats:
        """The share of pieces asked for that are served from the shelf; 1 where none are."""
        missed = short(level, self.mean, self.variance)
        missed = missed - short(level, self.lead_mean, self.lead_variance)
        asked = self.mean - self.lead_mean
        with np.errstate(divide="ignore", invalid="ignore"):
            share = 1.0 - np.maximum(missed, 0.0) / asked
        return np.where(asked > 0, np.maximum(share, 0.0), 1.0)

    def level_for_service(self, share: float) -> Floats:
        """The lowest level that is enough with that chance."""
        return quantile(share, self.mean, self.variance)

    def level_for_fill(self, share: float) -> Floats:
        """The lowest level that serves that share of the pieces: found by halving, all at once."""
        high = quantile(0.9, self.mean, self.variance) + 1
        low = np.full(high.shape, -1.0)
        self._raise(low, high, share)
        open_ = np.flatnonzero(high - low > 1)
        while open_.size:
            middle = np.floor((low[open_] + high[open_]) / 2)
            enough = self[open_].fill(middle) >= share
            high[open_[enough]] = middle[enough]
            low[open_[~enough]] = middle[~enough]
            open_ = open_[high[open_] - low[open_] > 1]
        return high

    def _raise(self, low: Floats, high: Floats, share: float) -> None:
        """Doubles the upper ends until each is enough."""
        open_ = np.flatnonzero(self.fill(high) < share)
        while open_.size:
            low[open_] = high[open_]
            high[open_] *= 2
            open_ = open_[self[open_].fill(high[open_]) < share]
