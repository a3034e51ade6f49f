"""Ordering, against the numbers of textbooks.

Snyder and Shen, *Fundamentals of Supply Chain Theory*, 2nd ed., by number of example or problem, as
the documentation of the package stockpyl 1.0.2 quotes them; each was recomputed by hand. Zipkin,
*Foundations of Inventory Management*, 2000, by the same package. Gelman and others, *Bayesian Data
Analysis*, section 2.6, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from inventory.planning.batches import plan_batches
from inventory.planning.breaks import Costs, Lowers, Prices, cheapest_lot
from inventory.planning.forecast import run
from inventory.planning.levels import at_most, left, quantile, short
from inventory.planning.newsvendor import critical_ratio, season_ratio

CLOSE = 1e-6


@pytest.mark.parametrize(
    ("placing", "keeping", "sold", "lot", "cost"),
    [
        (8, 0.225, 1300, 304.0467800, 68.41052551),  # Ex. 3.1
        (2250, 275, 182500, 1728.109845, 475230.2074),  # Prob. 3.1
    ],
)
def test_economic_order_quantity(placing, keeping, sold, lot, cost):
    found = cheapest_lot(sold, Costs(placing, keeping), Prices((0,), (1.0,)))
    assert found.quantity == pytest.approx(lot, rel=CLOSE)
    assert found.cost - sold == pytest.approx(cost, rel=CLOSE)  # the goods themselves cost 1 each


def test_a_lot_that_is_not_the_economic_one():  # Ex. 3.1, at 250
    found = Costs(8, 0.225).yearly(250, 1300, Prices((0,), (1.0,)))
    assert found - 1300 == pytest.approx(69.725, rel=CLOSE)


EX_3_5 = ((0, 400, 800), (0.75, 0.72, 0.68))


@pytest.mark.parametrize(
    ("placing", "keeping", "sold", "breaks", "lot", "tier", "cost"),
    [
        (8, 0.3, 1300, (*EX_3_5, Lowers.ALL_UNITS), 800, 2, 978.60),  # Ex. 3.5
        (  # Prob. 3.12 (a)
            2250,
            0.25,
            182500,
            ((0, 1200, 2400), (1490, 1220, 1100), Lowers.ALL_UNITS),
            2400,
            2,
            201251093.75,
        ),
        (8, 0.3, 1300, (*EX_3_5, Lowers.INCREMENTAL), 304.0467800, 0, 1043.410526),  # Ex. 3.7
        (  # the package's own example
            150,
            0.25,
            2400,
            ((0, 300, 600), (100, 90, 80), Lowers.INCREMENTAL),
            1481.890684,
            2,
            222762.8137,
        ),
    ],
)
def test_price_breaks(placing, keeping, sold, breaks, lot, tier, cost):
    found = cheapest_lot(sold, Costs(placing, keeping), Prices(*breaks))
    assert (found.quantity, found.cost) == pytest.approx((lot, cost), rel=CLOSE)
    assert found.tier == tier


@pytest.mark.parametrize(
    ("joining", "keeping", "needs", "orders", "cost"),
    [
        (500, 2, (90, 120, 80, 70), (210, 0, 150, 0), 1380),  # Ex. 3.9
        (120, 0.8, (150, 100, 80, 200), (150, 180, 0, 200), 424),  # Prob. 3.27
        (100, 0.1, (730, 580, 445, 650, 880), (1310, 0, 1095, 0, 880), 423),  # Prob. 3.29
    ],
)
def test_wagner_and_whitin(joining, keeping, needs, orders, cost):
    found = plan_batches(needs, joining=joining, keeping=[keeping] * len(needs))
    assert found.orders == orders
    assert found.cost == pytest.approx(cost, rel=CLOSE)


@pytest.mark.parametrize(
    ("over", "under", "mean", "deviation", "level"),
    [
        (0.18, 0.70, 50, 8, 56.60395593),  # Ex. 4.3
        (43, 79, 900, 60, 922.7214038),  # Prob. 4.1
        (0.18, 0.70, 50 * 5, 8 * 5**0.5, 264.7668944),  # Ex. 4.4: a lead time of four periods
    ],
)
def test_newsvendor(over, under, mean, deviation, level):
    ratio = critical_ratio(under, over)
    assert stats.norm.ppf(ratio, mean, deviation) == pytest.approx(level, rel=CLOSE)


def test_newsvendor_by_prices():
    assert stats.norm.ppf(season_ratio(0.3, 1, 0.12), 50, 8) == pytest.approx(56.60395593)  # Ex 4.2
    found = stats.norm.ppf(season_ratio(2.5, 7, 1.5), 50, 10)
    assert found == pytest.approx(59.08457869, rel=CLOSE)  # Prob. 4.3 (b)


@pytest.mark.parametrize(
    ("over", "under", "mean", "level", "cost"),
    [
        (1, 4, 6, 8, 3.570106946),  # Ex. 4.7, an order costing nothing
        (200, 270, 18, 19, 786.0884409),  # Prob. 4.8 (a)
    ],
)
def test_newsvendor_with_poisson_demand(over, under, mean, level, cost):
    found = quantile(critical_ratio(under, over), mean, mean)
    assert found == level
    paid = over * left(level, mean, mean) + under * short(level, mean, mean)
    assert float(paid) == pytest.approx(cost, rel=CLOSE)


@pytest.mark.parametrize(
    ("mean", "variance", "stock", "missed", "kept"),
    [
        (15, 15, 18, 0.5176095283, 3.517609528),  # Poisson
        (23, 64, 14, 9.32645998, 0.32645998),  # negative binomial
    ],
)
def test_loss_functions(mean, variance, stock, missed, kept):
    assert float(short(stock, mean, variance)) == pytest.approx(missed, rel=CLOSE)
    assert float(left(stock, mean, variance)) == pytest.approx(kept, rel=CLOSE)


@pytest.mark.parametrize(("deaths", "exposure", "posterior"), [(3, 2, (6, 7)), (30, 20, (33, 25))])
def test_gamma_poisson(deaths, exposure, posterior):
    """A rare death: prior Gamma(3, 5), 3 cases at 0.2 million a year; ten years of it."""
    units, months = np.array([[deaths]], float), np.array([[exposure]], float)
    found, _, _ = run(units, months, np.array([0.6]), kept=1.0, prior=5.0)
    shape, rate = posterior
    assert (found.weight[0], found.b[0] + 5) == pytest.approx((shape, rate))
    assert found.rate[0] == pytest.approx(shape / rate)


@pytest.mark.parametrize(("mean", "variance"), [(0.3, 0.4), (5, 9), (40, 41), (3, 30), (7, 7)])
def test_negative_binomial_against_scipy(mean, variance):
    """The reference library: scipy.stats.nbinom with number m^2/(v - m), chance m/v."""
    x = np.arange(60)
    if variance > mean:
        other = stats.nbinom(mean**2 / (variance - mean), mean / variance)
    else:
        other = stats.poisson(mean)
    assert at_most(x, mean, variance) == pytest.approx(other.cdf(x), abs=1e-12)
    for share in (0.05, 0.5, 0.9, 0.95, 0.999):
        assert quantile(share, mean, variance) == other.ppf(share)
