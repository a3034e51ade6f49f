"""What one SKU was asked for, by month and by week."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from inventory.reordering.demand import By, demand_of
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import EarlierSalesFactory
from tests.factories.stock import EnquiryFactory
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
AT = datetime(2026, 7, 10, 9, tzinfo=UTC)


@pytest.fixture
def shop():
    """Six came in March, all went, one came back; asked for in between."""
    shop = Shop(SkuFactory())
    shop.came(6, date(2026, 3, 4))
    shop.sent(4, date(2026, 4, 8))
    shop.sent(2, date(2026, 5, 6))
    shop.returned(1, date(2026, 6, 10))
    EnquiryFactory(sku=shop.sku, pieces=3, asked_at=datetime(2026, 4, 20, 12, tzinfo=UTC))
    EnquiryFactory(sku=shop.sku, pieces=2, asked_at=datetime(2026, 5, 20, 12, tzinfo=UTC))
    return shop


def test_by_month_the_latest_first(shop):
    EarlierSalesFactory(sku=shop.sku, month=date(2026, 1, 1), sold=5, days_without=3)
    told = [
        (span.first.month, span.sold, span.unmet, span.in_vain, span.days, span.days_without)
        for span in demand_of(shop.sku, at=AT, by=By.MONTH)
    ]
    assert told == [
        (6, -1, 0, 0, 30, 9),
        (5, 2, 0, 2, 31, 26),
        (4, 4, 3, 0, 30, 0),
        (3, 0, 0, 0, 31, 3),
        (2, 0, 0, 0, 28, None),
        (1, 5, 0, 0, 31, 3),
    ]


def test_by_week_from_its_own_books_only(shop):
    EarlierSalesFactory(sku=shop.sku, month=date(2026, 1, 1), sold=5)
    spans = demand_of(shop.sku, at=AT, by=By.WEEK)
    assert {(span.first.weekday(), span.days) for span in spans} == {(0, 7)}
    assert spans[0].last == date(2026, 7, 5)
    assert spans[-1].first == date(2026, 3, 2)
    assert spans[-1].days_with == 5  # it came on a Wednesday
    assert sum(span.sold for span in spans) == 5
    assert sum(span.not_had for span in spans) == 5
    assert len(demand_of(shop.sku, at=AT, by=By.WEEK, count=4)) == 4


def test_shared_with_all_of_its_size_though_one_is_asked_about(shop):
    other = Shop(SkuFactory())
    other.came(2, date(2026, 3, 4))
    other.sent(2, date(2026, 3, 5))
    EnquiryFactory(
        sku=None, size=shop.sku.size, pieces=4, asked_at=datetime(2026, 5, 21, 9, tzinfo=UTC)
    )
    # Six sold less one returned, two sold by the other; a piece more each.
    may = demand_of(shop.sku, at=AT, by=By.MONTH)[1]
    assert may.in_vain == pytest.approx(2 + 4 * 6 / 9, abs=0.01)


def test_nothing_known_of_it():
    assert demand_of(SkuFactory(), at=AT, by=By.MONTH) == []
    assert demand_of(SkuFactory(tube_kind=True), at=AT, by=By.WEEK) == []


def test_as_many_queries_however_much_was_sold(shop, same_queries):
    look = lambda: demand_of(shop.sku, at=AT, by=By.MONTH)  # noqa: E731
    assert same_queries(look, lambda: Shop(shop.sku).came(9, date(2026, 5, 1))) <= 10
