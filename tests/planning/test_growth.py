"""Nothing that looks at all SKUs is done once an alert: twice the range costs twice the time."""

from __future__ import annotations

import pytest

from inventory.planning import Forecast, Prices, Shelf, alert_lines
from inventory.planning.forecast import Filtered
from tests.support.planned import situation


@pytest.fixture
def looks(monkeypatch):
    """How often a whole column was reckoned."""
    counted = {"free": 0, "rate": 0, "weight": 0}

    def counting(name, plain):
        def found(self):
            counted[name] += 1
            return plain(self)

        return property(found)

    for kind, name in (
        (Shelf, "free"),
        (Forecast, "rate"),
        (Filtered, "rate"),
        (Filtered, "weight"),
    ):
        monkeypatch.setattr(kind, name, counting(name, getattr(kind, name).fget))
    return counted


def test_whole_columns_are_reckoned_as_often_for_many_alerts_as_for_few(looks):
    told = []
    for skus in (4, 64):
        looks.update(dict.fromkeys(looks, 0))
        mate = [n + 1 - 2 * (n % 2) for n in range(skus)]
        breaks = {row: Prices((1, 20), (80.0, 70.0)) for row in range(skus)}
        each = {"on_hand": [2] * skus, "held": [0] * skus, "mate": mate, "prices": breaks}
        case = situation(weekly=[1.0] * skus, lead=28, **each)
        assert len(alert_lines(case)) == skus
        told.append(dict(looks))
    assert told[0] == told[1]
    assert max(told[0].values()) < 40
