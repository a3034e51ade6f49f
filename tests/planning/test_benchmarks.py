"""The benchmarks run: small, so that they cannot rot."""

from __future__ import annotations

import numpy as np
import pytest

from tests.load import forecast, plan
from tests.load.measures import scores
from tests.load.rivals import METHODS, always_zero, naive
from tests.load.shop import Series, invented


def test_the_forecast_benchmark_keeps_its_limits(capsys):
    assert forecast.main(["--seed", "5", "--pairs", "200", "--no-speed"]) == 0
    said = capsys.readouterr().out
    assert "MISSED" not in said
    assert all(method in said for method in METHODS)


def test_the_benchmark_of_the_plan_keeps_its_limits(monkeypatch, capsys):
    monkeypatch.setattr(plan, "_sorts", lambda offered, budget: 0.0)  # a time, not a result
    assert plan.main(["--seed", "5", "--most", "500"]) == 0
    said = capsys.readouterr().out
    assert "MISSED" not in said
    assert "500: gap with minimums, proven" in said
    assert "together / SKU by SKU" in said


def test_a_missed_limit_is_told(capsys):
    row = forecast.Row("pinball", 0.3, most=0.2)
    assert not forecast.told("a table", {}, [row])
    assert "MISSED" in capsys.readouterr().out


def test_a_forecast_that_knows_the_future_costs_nothing():
    units = np.full((3, 30), 4.0)
    series = Series(units, np.ones_like(units), np.zeros(3, np.int64), 1)
    found = scores(naive, series)
    assert found.pinball == {0.9: 0.0, 0.95: 0.0}
    assert found.covered == 1.0
    assert np.isnan(found.rmsse)  # a demand that never changes has no scale


def test_always_zero_pays_for_every_piece():
    found = scores(always_zero, invented(1, pairs=20))
    assert found.pinball[0.9] == pytest.approx(0.9)
    assert found.stock_95 == float("inf")


def test_the_same_seed_gives_the_same_shop():
    assert (invented(3, pairs=5).units == invented(3, pairs=5).units).all()
    assert (invented(3, pairs=5).units != invented(4, pairs=5).units).any()
