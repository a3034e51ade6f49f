"""What each SKU will be asked for: its own history as far as it goes, its range for the rest.

A gamma-Poisson filter with a forgetting factor, started from the mean of the range (after Harvey
and Fernandes, *Time series models for count or qualitative observations*, 1989, from memory; the
pooling is ours). Every array holds all SKUs at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from inventory.planning.arrays import Floats, Ints, summed
from inventory.planning.dispersion import Scatter, pooled_scatter

KEPT = 0.9
"""What last month still counts for, a month later."""
PRIOR_MONTHS = 2.0
"""How many months of its own history weigh as much as the range's mean."""
RANGE_MONTHS = 24.0
"""How many SKU-months of its own weigh as much, for a range, as the mean of all."""


@dataclass(frozen=True, slots=True)
class Filtered:
    """Discounted pieces ``a`` and months ``b``, and the mean of the range they start from ``m0``;
    (SKUs,) each. Months are season-weighted: a month that counts double counts as two."""

    a: Floats
    b: Floats
    m0: Floats
    prior: float = PRIOR_MONTHS

    @property
    def weight(self) -> Floats:
        """Pieces that speak for the rate, the range's included."""
        return self.a + self.prior * self.m0

    @property
    def rate(self) -> Floats:
        """Pieces a month, in a month of no season."""
        return self.weight / (self.b + self.prior)


@dataclass(frozen=True, slots=True)
class Forecast:
    """What is known of every SKU; (SKUs,) each.

    ``phi`` is variance / mean of a month about its rate. ``own`` is the share of the rate that is
    the SKU's own history, the rest is its range's. ``sale_months`` and ``units`` are what it was
    asked for, over how many months. ``scatter`` is what all of them teach of ``phi``.
    """

    filtered: Filtered
    phi: Floats
    own: Floats
    sale_months: Floats
    units: Floats
    scatter: Scatter

    @property
    def rate(self) -> Floats:
        """Pieces a month, in a month of no season."""
        return self.filtered.rate

    def demand(self, months: Floats, rows: Ints | None = None) -> tuple[Floats, Floats]:
        """Mean and variance of what is asked for over so many season-weighted months.

        ``months`` is (SKUs,) or (SKUs, any), for all SKUs or for those in ``rows``. The variance
        is the months' own, and that of what is not known of the rate.
        """
        mine = slice(None) if rows is None else rows
        columns = self.rate[mine], self.phi[mine], np.maximum(self.filtered.weight[mine], 1e-9)
        rate, phi, weight = (each[:, None] if months.ndim == 2 else each for each in columns)
        mean = rate * months
        return mean, phi * mean + mean**2 / weight


def forecast(units: Floats, exposure: Floats, season: Floats, family: Ints) -> Forecast:
    """The forecast from demand, exposure and season, (SKUs, months) each, newest last.

    ``family`` (SKUs,) is the range that lends a SKU its mean, counted from 0.
    """
    return told_by(units, exposure * season, family_means(units, exposure * season, family))


def told_by(
    units: Floats, months: Floats, start: Floats, scatter: Scatter | None = None
) -> Forecast:
    """The forecast from demand, season-weighted months, and the mean of each SKU's range.

    ``scatter`` as it was learnt of all SKUs, where these are only some of them.
    """
    filtered, errors, expected = run(units, months, start)
    pooled = scatter or pooled_scatter(errors, expected, filtered.rate)
    phi = pooled.of(errors, expected, filtered.rate)
    return Forecast(
        filtered,
        phi,
        filtered.b / (filtered.b + filtered.prior),
        (units > 0).sum(axis=1).astype(float),
        units.sum(axis=1),
        pooled,
    )


def run(
    units: Floats, months: Floats, m0: Floats, *, kept: float = KEPT, prior: float = PRIOR_MONTHS
) -> tuple[Filtered, Floats, Floats]:
    """The filter over all months: its state, the squared one-step errors, and what was expected.

    Errors and expectations are sums over the months, (SKUs,) each.
    """
    a, b = np.zeros(len(units)), np.zeros(len(units))
    errors, expected = np.zeros(len(units)), np.zeros(len(units))
    for y, s in zip(units.T, months.T, strict=True):
        ahead = (a + prior * m0) / (b + prior) * s
        errors += np.where(s > 0, (y - ahead) ** 2, 0.0)
        expected += ahead
        a, b = kept * a + y, kept * b + s
    return Filtered(a, b, m0, prior), errors, expected


def family_means(units: Floats, months: Floats, family: Ints) -> Floats:
    """Pieces a month of the range of each SKU, a small range drawn to the mean of all; (SKUs,)."""
    asked, seen = units.sum(axis=1), months.sum(axis=1)
    everywhere = asked.sum() / max(seen.sum(), 1.0)
    families = int(family.max()) + 1 if family.size else 0
    of_family = summed(asked, family, families) + RANGE_MONTHS * everywhere
    means = of_family / (summed(seen, family, families) + RANGE_MONTHS)
    return np.asarray(means[family])
