"""The books counted: sales less returns, days with none to sell, what was asked for in vain."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from inventory.activities import correcting
from inventory.models.place import PlaceKind
from inventory.reordering.books import read_books
from inventory.reordering.calendar import months_before, number, weeks_before
from inventory.reordering.history import history_of
from inventory.reordering.range import read_range
from tests.factories.catalogue import SkuFactory
from tests.factories.places import PlaceFactory
from tests.factories.planning import EarlierSalesFactory
from tests.factories.stock import EnquiryFactory, LotFactory, stock_in
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
TODAY = date(2026, 7, 10)
UNTIL = date(2026, 7, 11)


def history(months=6):
    known = read_range()
    periods = months_before(TODAY, months)
    return known, history_of(read_books(known, until=UNTIL), periods, known.count)


def noon(*day):
    return datetime(*day, 12, tzinfo=UTC)


def test_sales_less_returns_by_month_and_the_days_with_some_to_sell():
    shop = Shop(SkuFactory())
    shop.came(6, date(2026, 2, 11))
    shop.sent(4, date(2026, 3, 2))
    shop.sent(2, date(2026, 4, 16))
    shop.returned(1, date(2026, 6, 1))
    _, found = history()
    assert found.sold[0].tolist() == [0, 0, 4, 2, 0, -1]
    # On the shelf from 11 February to 16 April, and again since 1 June.
    share = found.on_shelf[0]
    assert np.isnan(share[0])
    assert share[1:].tolist() == pytest.approx([18 / 28, 1, 15 / 30, 0, 1])


def test_against_a_count_day_by_day():
    """Brute force: fifty random movements, every day looked at."""
    rng = np.random.default_rng(4)
    shops = [Shop(SkuFactory(code=f"R{n}")) for n in range(2)]
    levels = {}
    for n, shop in enumerate(shops):
        level, day = 0, date(2026, 1, 5)
        for _ in range(25):
            day += timedelta(days=int(rng.integers(1, 9)))
            if day > TODAY:
                break
            change = int(rng.integers(1, 4)) if level == 0 or rng.random() < 0.4 else -level
            (shop.came if change > 0 else lambda p, d, s=shop: s.sent(-p, d))(change, day)
            level += change
            levels[n, day] = level
    known, found = history()
    assert list(known.code) == ["R0", "R1"]
    for n in range(2):
        first = min(day for row, day in levels if row == n)
        for month in range(6):
            days = months_before(TODAY, 6).edges[month : month + 2]
            seen = [first + timedelta(days=int(d) - number(first)) for d in range(*days)]
            had = 0
            for day in seen:
                earlier = [d for row, d in levels if row == n and d <= day]
                had += bool(earlier) and levels[n, max(earlier)] > 0
            if first <= seen[-1]:
                assert found.on_shelf[n, month] * len(seen) == pytest.approx(had)


def test_what_may_not_be_sold_is_not_on_the_shelf():
    quarantine = PlaceFactory(kind=PlaceKind.QUARANTINE)
    for lot, place in ((LotFactory(), quarantine), (LotFactory(fitted=True), PlaceFactory())):
        stock_in(lot=lot, place=place, at=noon(2026, 2, 1))
    _, found = history()
    assert np.nansum(found.on_shelf) == 0


def test_a_customers_own_tyres_are_nobodys_demand():
    shop = Shop(SkuFactory())
    shop.lot = LotFactory(sku=shop.sku, customers=True)
    shop.came(4, date(2026, 2, 1))
    shop.sent(4, date(2026, 3, 1))
    _, found = history()
    assert found.sold.sum() == 0


def test_a_despatch_that_was_put_right_is_no_sale():
    shop = Shop(SkuFactory())
    shop.came(4, date(2026, 2, 1))
    wrong = shop.sent(4, date(2026, 3, 1))
    correcting.take_back(posting=wrong, why="it never left", by=shop.by, at=noon(2026, 3, 2))
    _, found = history()
    assert found.sold.sum() == 0


def test_asked_for_on_a_bare_shelf_or_not():
    shop = Shop(SkuFactory())
    shop.came(2, date(2026, 2, 1))
    shop.sent(2, date(2026, 4, 10))
    EnquiryFactory(sku=shop.sku, pieces=4, asked_at=noon(2026, 3, 5))
    EnquiryFactory(sku=shop.sku, pieces=2, asked_at=noon(2026, 5, 5))
    EnquiryFactory(of_a_size=True, asked_at=noon(2026, 5, 5))
    _, found = history()
    assert found.unmet[0].tolist() == [0, 0, 4, 0, 0, 0]
    assert found.asked_in_vain[0].tolist() == [0, 0, 0, 0, 2, 0]


def test_months_of_other_books_and_none_in_between():
    shop = Shop(SkuFactory())
    EarlierSalesFactory(
        sku=shop.sku, month=date(2026, 1, 1), sold=5, asked_in_vain=2, days_without=10
    )
    shop.came(4, date(2026, 4, 1))
    _, found = history()
    assert found.sold[0, 0] == 5
    assert found.asked_in_vain[0, 0] == 2
    assert found.on_shelf[0, 0] == pytest.approx(21 / 31)
    assert np.isnan(found.on_shelf[0, 1:3]).all()
    assert found.on_shelf[0, 3:].tolist() == [1, 1, 1]


def test_a_day_is_the_shops_own(settings):
    """Half past eleven at night in London in summer is the next day's in no book."""
    shop = Shop(SkuFactory())
    shop.came(4, date(2026, 4, 1))
    EnquiryFactory(sku=shop.sku, asked_at=datetime(2026, 5, 31, 22, 30, tzinfo=UTC), pieces=1)
    EnquiryFactory(sku=shop.sku, asked_at=datetime(2026, 5, 31, 23, 30, tzinfo=UTC), pieces=2)
    _, found = history()
    assert found.unmet[0].tolist() == [0, 0, 0, 0, 1, 2]


def test_nothing_at_all():
    known, found = history()
    assert known.count == 0
    assert found.sold.shape == (0, 6)


def test_weeks_and_months_tell_the_same_sum():
    shop = Shop(SkuFactory())
    shop.came(9, date(2026, 3, 2))
    for day in (date(2026, 4, 7), date(2026, 5, 20), date(2026, 6, 3)):
        shop.sent(2, day)
    known = read_range()
    books = read_books(known, until=UNTIL)
    weekly = history_of(books, weeks_before(TODAY, 20), known.count)
    monthly = history_of(books, months_before(TODAY, 6), known.count)
    assert weekly.sold.sum() == monthly.sold.sum() == 6
    assert weeks_before(TODAY, 20).first.weekday() == 0


@pytest.mark.parametrize(
    ("today", "first"),
    [(date(2026, 1, 31), date(2025, 10, 1)), (date(2026, 12, 1), date(2026, 9, 1))],
)
def test_whole_months_only(today, first):
    periods = months_before(today, 3)
    assert periods.first == first
    assert periods.end == today.replace(day=1) - timedelta(days=1)
