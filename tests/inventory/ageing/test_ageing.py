"""What crosses the limit before it is sold: the oldest sold first, money at stake, and advice."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from inventory.ageing import (
    ADVICE,
    AgedLot,
    bands,
    crosses_on,
    crossing,
    house_lots,
    tyres_by_week,
)
from inventory.markings.datecode.age import oldest_allowed_week
from inventory.markings.datecode.weeks import week_index
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import BlockFactory, LotFactory, stock_in

ON = date(2026, 11, 23)
DAYS = st.dates(date(2005, 1, 1), date(2025, 12, 31))


@given(DAYS, st.integers(1, 150))
def test_the_day_it_crosses_is_the_first_on_which_it_is_too_old(last_day, limit):
    last_day += timedelta(days=(5 - last_day.weekday()) % 7)  # weeks end on a Saturday
    week, day = week_index(last_day), crosses_on(last_day, limit)
    assert week < oldest_allowed_week(limit_months=limit, on=day)
    assert week >= oldest_allowed_week(limit_months=limit, on=day - timedelta(days=1))


@given(DAYS, st.integers(1, 150))
def test_every_age_is_in_one_band(made, limit):
    week = week_index(made)
    assert sum(band.holds(week, ON) for band in bands(limit)) == 1


def test_the_bands_of_the_house():
    assert [band.words for band in bands(72)] == [
        "up to 24 months",
        "24 to 48 months",
        "48 to 72 months",
        "over the limit of 72 months",
    ]
    assert "not law" in ADVICE
    assert "qualified" in ADVICE


def lot(n, *, crosses_in, pieces=4, sku=1, **more):
    last = crosses_on_day(ON + timedelta(days=crosses_in))
    given = {
        "lot_id": n, "code": f"L{n}", "sku_id": sku, "sku": "T-1", "site": "FEN", "pieces": pieces,
        "held": 0, "last_day": last, "week": week_index(last), "date_code": "0121",
        "unit_cost": Decimal("50.00"), "currency": "GBP", "to_sell": True,
    }  # fmt: skip
    return AgedLot(**{**given, **more})


def crosses_on_day(day):
    """The last day of a week that crosses 72 months on a day."""
    return day.replace(year=day.year - 6) - timedelta(days=1)


def found(lots, yearly=0.0, **more):
    """With so many asked for a year, Poisson."""

    def asked(sku, day):
        mean = yearly * day / 365
        return mean, mean

    given = {"limit": 72, "on": ON, "asked": asked, "busy": {}, "suppliers": frozenset()}
    return crossing(lots, **{**given, **more})


def test_what_nobody_asks_for_is_all_left():
    (one,) = found([lot(1, crosses_in=100)])
    assert (one.pieces, one.expected_left, one.money) == (4, Decimal("4.0"), Decimal("200.00"))
    assert one.crosses_on == ON + timedelta(days=100)
    assert "200.00 GBP at cost" in one.sentence
    assert one.suggestion == "offer"


def test_the_oldest_go_first_and_what_is_left_adds_up():
    lots = [lot(1, crosses_in=300, pieces=3), lot(2, crosses_in=300, pieces=5)]
    first, second = found(lots, yearly=2.0)
    mean = 2.0 * 300 / 365
    pmf = stats.poisson(mean)
    k = np.arange(9)
    left_of_all = float(((8 - k) * pmf.pmf(k)).sum())
    left_of_first = float(((3 - k[:4]) * pmf.pmf(k[:4])).sum())
    assert float(first.expected_left) == pytest.approx(left_of_first, abs=0.051)
    assert float(second.expected_left) == pytest.approx(left_of_all - left_of_first, abs=0.051)
    assert second.told["older"] == 3


def test_what_sells_in_time_is_not_told():
    assert found([lot(1, crosses_in=600)], yearly=12.0) == []
    assert found([lot(1, crosses_in=900)]) == []


def test_over_the_limit_is_off_sale_whatever_is_asked_for():
    (one,) = found([lot(1, crosses_in=-30)], yearly=50.0, busy={(1, "STA"): 9})
    assert (one.suggestion, one.expected_left) == ("off_sale", Decimal("4.0"))
    assert "have been over the house's limit" in one.sentence


def test_the_busier_site_and_the_supplier():
    (one,) = found([lot(1, crosses_in=100)], busy={(1, "STA"): 9, (2, "VAN"): 99})
    assert (one.suggestion, one.told["busier"]) == ("move", "STA")
    (one,) = found([lot(1, crosses_in=500)], suppliers=frozenset({1}))
    assert one.suggestion == "supplier"


def test_undated_blocked_and_unpriced():
    undated = lot(1, crosses_in=10, last_day=None, week=None)
    blocked = lot(2, crosses_in=10, to_sell=False)
    assert found([undated, blocked]) == []
    (one,) = found([lot(3, crosses_in=10, unit_cost=None)])
    assert one.money is None
    assert "at cost" not in one.sentence


@pytest.mark.django_db
def test_the_houses_lots_as_they_lie():
    here, there = (PlaceFactory(site=SiteFactory(code=code)) for code in ("AAA", "BBB"))
    mine = LotFactory(date_code="1425")
    stock_in(lot=mine, place=here, on_hand=3, held=1)
    stock_in(lot=mine, place=there, on_hand=2)
    stock_in(lot=LotFactory(customers=True), place=here)
    blocked = LotFactory(sku=mine.sku, date_code="1420")
    BlockFactory(lot=blocked)
    stock_in(lot=blocked, place=here)
    told = [(one.lot_id, one.site, one.pieces, one.held, one.to_sell) for one in house_lots()]
    assert told == [
        (blocked.pk, "AAA", 4, 0, False),
        (mine.pk, "AAA", 3, 1, True),
        (mine.pk, "BBB", 2, 0, True),
    ]
    stock_in(lot=LotFactory(undated=True), place=there, on_hand=5)
    assert tyres_by_week() == [
        ("AAA", blocked.week_index, 4),
        ("AAA", mine.week_index, 3),
        ("BBB", mine.week_index, 2),
        ("BBB", None, 5),
    ]
