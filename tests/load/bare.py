"""A shop of known rates whose shelves are bare a good part of the time: is the bias gone?"""

from __future__ import annotations

import numpy as np

from inventory.planning import History, learn
from tests.load.told import Row

WRITTEN_DOWN = 0.4


def forecast_over_truth(seed: int, *, corrected: bool, skus: int = 400) -> tuple[float, float]:
    """The sum of all rates over the true ones, and the share of askers found to be written down.

    Not ``corrected``: a bare day counts as one on which nobody asked, and nobody is written down.
    """
    rng = np.random.default_rng(seed)
    months = 48
    rate = rng.lognormal(0.8, 0.4, (skus, 1))
    # A bare shelf lasts: months of it, not days.
    bare = np.repeat(rng.random((skus, months // 3)) < 0.35, 3, axis=1)
    share = np.where(bare, rng.uniform(0, 0.5, (skus, months)), 1.0)
    sold = rng.poisson(rate * share).astype(float)
    vain = rng.binomial(rng.poisson(rate * (1 - share)), WRITTEN_DOWN).astype(float)
    if not corrected:
        vain, share = np.zeros_like(vain), np.ones_like(share)
    none = np.zeros(skus, np.int64)
    books = History(sold, np.zeros_like(sold), vain, share)
    found = learn(books, none, none, categories=1, first_month=0)
    return float(found.forecast.rate.sum() / rate.sum()), found.demand.written_down


def rows_of(seed: int) -> list[Row]:
    """What a forecast makes of such books, with and without the correction."""
    plain, _ = forecast_over_truth(seed, corrected=False)
    fair, written_down = forecast_over_truth(seed, corrected=True)
    return [
        Row("forecast / truth, as sold", plain, most=0.85),
        Row("forecast / truth, corrected", fair, least=0.97, most=1.03),
        Row("found written down, of 0.40", written_down, least=0.35, most=0.45),
    ]
