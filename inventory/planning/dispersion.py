"""How much more demand scatters than chance arrivals would: variance over mean."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, summed

BINS = 4
PSEUDO_UNITS = 10.0


@dataclass(frozen=True, slots=True)
class Scatter:
    """Variance / mean of SKUs that sell about as often: of each bin, (4,), and the rates between
    the bins, (3,)."""

    edges: Floats
    pooled: Floats

    def of(self, errors: Floats, expected: Floats, rate: Floats) -> Floats:
        """That of each SKU, (SKUs,): its own ratio, drawn to its fellows'."""
        fellows = np.searchsorted(self.edges, rate, side="right")
        own = errors + PSEUDO_UNITS * self.pooled[fellows]
        return np.maximum(own / (expected + PSEUDO_UNITS), 1e-3)


def pooled_scatter(errors: Floats, expected: Floats, rate: Floats) -> Scatter:
    """What all SKUs teach.

    ``errors`` are each one's squared one-step errors and ``expected`` the pieces expected, both
    summed over its months.
    """
    if not rate.size:
        return Scatter(np.zeros(BINS - 1), np.ones(BINS))
    edges = np.quantile(rate, np.arange(1, BINS) / BINS)
    fellows = np.searchsorted(edges, rate, side="right")
    lump = summed(errors, fellows, BINS) + PSEUDO_UNITS
    return Scatter(edges, lump / (summed(expected, fellows, BINS) + PSEUDO_UNITS))


def pooled_dispersion(errors: Floats, expected: Floats, rate: Floats) -> Floats:
    """Variance / mean of each SKU's months, (SKUs,), drawn to that of its fellows."""
    return pooled_scatter(errors, expected, rate).of(errors, expected, rate)
