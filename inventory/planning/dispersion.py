"""How much more demand scatters than chance arrivals would: variance over mean."""

from __future__ import annotations

import numpy as np

from inventory.planning.arrays import Floats, summed

BINS = 4
PSEUDO_UNITS = 10.0


def pooled_dispersion(errors: Floats, expected: Floats, rate: Floats) -> Floats:
    """Variance / mean of each SKU's months, (SKUs,).

    ``errors`` are its squared one-step errors and ``expected`` the pieces expected, both summed
    over its months. A SKU's own ratio is drawn to that of SKUs that sell about as often.
    """
    if not rate.size:
        return np.ones(0)
    edges = np.quantile(rate, np.arange(1, BINS) / BINS)
    fellows = np.searchsorted(edges, rate, side="right")
    lump = summed(errors, fellows, BINS) + PSEUDO_UNITS
    pooled = lump / (summed(expected, fellows, BINS) + PSEUDO_UNITS)
    own = (errors + PSEUDO_UNITS * pooled[fellows]) / (expected + PSEUDO_UNITS)
    return np.maximum(own, 1e-3)
