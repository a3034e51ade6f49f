"""Worked cases of our own, each recomputed by hand or by brute force before it was written down."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from scipy import stats

from inventory.planning import alert_lines, cover, sellable_sets
from inventory.planning.filling import Protection
from inventory.planning.forecast import run
from inventory.planning.levels import left, quantile
from inventory.planning.newsvendor import season_ratio
from inventory.planning.ordering import quantities
from tests.support.planned import TODAY, situation


def test_a_late_delivery_is_not_counted_on():
    """A: 8 on hand, 2 held, 12 due in week 20, Poisson 1 a week, lead 10 weeks, review 2."""
    case = situation(on_hand=[8], held=[2], coming=[(0, 140, 12)], lead=70, review=14)
    (line,) = alert_lines(case)
    assert (line.cover.level, line.order.need) == (18, 12)
    assert line.chances.without == pytest.approx(stats.poisson.sf(6, 12))
    assert round(line.chances.without, 4) == 0.9542
    week = -(-(line.first_risk - TODAY).days // 7)
    assert week == 4
    assert [arrival.in_time for arrival in line.coming] == [False]
    assert line.cause.value == "delivery late"


def test_minimum_and_packs():
    """B: needs of 3, 9, 0, 8 with a least of 8 in packs of 4; what buying 8 leaves over."""
    found = quantities(np.array([3, 9, 0, 8.0]), np.full(4, 8), np.full(4, 4))
    assert found.after_pack.tolist() == [8, 12, 0, 8]
    assert found.extra.tolist() == [5, 3, 0, 0]
    assert float(left(12, 6, 6)) == pytest.approx(6.0146, abs=5e-5)
    assert stats.poisson.cdf(8, 6) == pytest.approx(0.8472, abs=5e-5)


@pytest.mark.parametrize(
    ("indices", "levels"), [((1.6, 2.0, 1.4), (16, 18, 22)), ((1, 1, 1), (10, 12, 15))]
)
def test_season_raises_the_level(indices, levels):
    """C: two a month, variance / mean 1.8."""
    mean = 2 * sum(indices)
    found = quantile([0.9, 0.95, 0.99], mean, 1.8 * mean)
    assert tuple(found) == levels


@pytest.mark.parametrize(("rear", "sets"), [(5, 2), (6, 3), (7, 3)])
def test_sets_not_pieces(rear, sets):
    """D: ten fronts with five, six, seven rears."""
    assert int(sellable_sets(10, rear)) == sets


def test_one_purchase_before_the_season():
    """E: costs 120, sells for 180, 90 when left over, Poisson 6."""
    ratio = season_ratio(120, 180, 90)
    assert float(ratio) == pytest.approx(2 / 3)
    assert quantile(ratio, 6, 6) == 7


def test_a_lead_time_in_doubt():
    """F: two a week with variance 4, lead time 10 weeks give or take 2 (one standard deviation)."""
    case = situation(weekly=[2.0], phi=2.0, lead=70, spread=28, review=1)
    part = case.position.part(np.array([0]))
    mean, variance = part.demand(np.array([[70]]))
    assert float(mean[0, 0]) == 20
    assert float(np.sqrt(variance[0, 0])) == pytest.approx(7.4833, abs=5e-5)


def test_a_chance_of_running_out_is_no_share_of_pieces_served():
    """G: base stock 5 to 9, Poisson 1 a period, lead 3, review 1."""
    protection = Protection(*(np.full(5, each) for each in (3.0, 3.0, 4.0, 4.0)))
    levels = np.arange(5.0, 10)
    service = [0.7851, 0.8893, 0.9489, 0.9786, 0.9919]
    fill = [0.7243, 0.8553, 0.9324, 0.9717, 0.9892]
    assert protection.service(levels) == pytest.approx(service, abs=5e-5)
    assert protection.fill(levels) == pytest.approx(fill, abs=5e-5)
    assert set(protection.level_for_fill(0.95)) == {8.0}
    assert set(protection.level_for_service(0.95)) == {8.0}


def test_the_filter_by_hand():
    """H: prior 0.5 worth 2 months, 0.9 kept, demand 0, 2, 0, 4."""
    units = np.array([[0, 2, 0, 4.0]])
    state, _, _ = run(units, np.ones_like(units), np.array([0.5]), kept=0.9, prior=2.0)
    assert (state.a[0], state.b[0]) == pytest.approx((5.62, 3.439))
    assert (state.weight[0], state.b[0] + 2) == pytest.approx((6.62, 5.439))
    assert state.rate[0] == pytest.approx(1.217136, abs=5e-7)
    mean = 4 * state.rate[0]
    variance = 1.5 * mean + mean**2 / state.weight[0]
    assert (mean, variance) == pytest.approx((4.8685, 10.8833), abs=5e-5)
    assert quantile(0.95, mean, variance) == 11


def test_enough_stock_is_no_alert():
    assert alert_lines(situation(on_hand=[40])) == []
    assert cover(situation(on_hand=[40]).position, service=0.95).first_risk[0] == -1


def test_the_sentence_names_the_day_to_order():
    (line,) = alert_lines(situation(on_hand=[9], lead=28))
    assert line.order_by.day == line.first_risk - timedelta(days=28)
    assert line.sentence.startswith("Demand: 9 free last until about")
    assert line.sentence.endswith(".")
