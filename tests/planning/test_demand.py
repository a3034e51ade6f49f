"""Demand from what the books say: returns, empty shelves, and what was asked for in vain."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.planning import History, asked_for, learn, pooled_seasons
from inventory.planning.demand import against_earlier_sales
from tests.load.bare import WRITTEN_DOWN, forecast_over_truth


def history(sold, unmet=None, in_vain=None, on_shelf=None):
    sold = np.atleast_2d(np.array(sold, float))
    columns = [np.zeros_like(sold) if each is None else each for each in (unmet, in_vain)]
    shelf = np.ones_like(sold) if on_shelf is None else np.atleast_2d(np.array(on_shelf, float))
    return History(sold, *(np.atleast_2d(np.array(each, float)) for each in columns), shelf)


def test_returns_are_set_against_the_sales_before_them():
    left, owed = against_earlier_sales(np.array([[4, 2, -3, 1.0], [0, -2, 3, 0]]))
    assert left.tolist() == [[3, 0, 0, 1], [0, 0, 3, 0]]
    assert owed.tolist() == [0, 2]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(-9, 9), min_size=1, max_size=20))
def test_nothing_is_lost_by_setting_returns_off(net):
    left, owed = against_earlier_sales(np.array([net], float))
    assert (left >= 0).all()
    assert left.sum() - owed.sum() == sum(net)


def test_a_bare_shelf_is_no_month_without_demand():
    found = asked_for(history([4, 4, 0, 0], on_shelf=[1, 1, 0, 0.5]))
    assert found.exposure.tolist() == [[1, 1, 0, 0.5]]
    assert found.written_down == 0


def test_those_who_are_written_down_count_as_far_as_they_are():
    """Eight of sixteen that would have asked were written down: half of each bare month counts."""
    found = asked_for(history([8, 8, 0, 0], in_vain=[0, 0, 4, 4], on_shelf=[1, 1, 0, 0]))
    assert found.written_down == 0.5
    assert found.exposure.tolist() == [[1, 1, 0.5, 0.5]]
    assert found.units.sum() / found.exposure.sum() == pytest.approx(8)


def test_before_it_was_listed_nothing_was_asked_for():
    found = asked_for(history([0, 0, 3], on_shelf=[np.nan, np.nan, 1]))
    assert found.exposure.tolist() == [[0, 0, 1]]


def test_the_bias_of_empty_shelves_goes():
    naive, _ = forecast_over_truth(11, corrected=False)
    fair, written_down = forecast_over_truth(11, corrected=True)
    assert naive < 0.85
    assert fair == pytest.approx(1, abs=0.03)
    assert written_down == pytest.approx(WRITTEN_DOWN, abs=0.05)


def test_a_season_is_pooled_and_a_thin_one_is_flat():
    rng = np.random.default_rng(2)
    shape = np.array([0.3, 0.4, 1, 2, 2.2, 1.6, 1, 0.8, 0.9, 0.8, 0.6, 0.4])
    shape = shape / shape.mean()
    units = np.concatenate([rng.poisson(1.5 * np.tile(shape, 4), (200, 48)), np.zeros((1, 48))])
    units[-1, 4] = 1
    category = np.array([0] * 200 + [1])
    found = pooled_seasons(units, np.ones_like(units), category, 2, 0)
    assert found.index[0] == pytest.approx(shape, abs=0.15)
    assert found.index[1] == pytest.approx(np.ones(12), abs=0.05)
    assert (found.years, found.units.tolist()) == (4, [units[:-1].sum(), 1])
    turned = pooled_seasons(units[:, 5:], np.ones_like(units)[:, 5:], category, 2, 5)
    assert turned.years == 3
    assert turned.index[0].argmax() == found.index[0].argmax()


def test_less_than_a_year_shows_no_season():
    found = pooled_seasons(np.ones((3, 8)), np.ones((3, 8)), np.zeros(3, np.int64), 1, 0)
    assert (found.index == 1).all()
    assert found.years == 0


def test_no_skus_at_all():
    none = np.zeros((0, 24))
    range_ = np.zeros(0, np.int64)
    found = learn(History(none, none, none, none), range_, range_, categories=1, first_month=0)
    assert found.forecast.rate.size == 0
