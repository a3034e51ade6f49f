"""One step from the alert: what an SKU was asked for, and the sizes asked for in vain."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from tests.factories.catalogue import SkuFactory
from tests.factories.planning import AlertFactory, EarlierSalesFactory, LearntFactory
from tests.factories.stock import EnquiryFactory
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def test_from_the_alert_to_its_weeks(buyer):
    sku, today = AlertFactory().sku, timezone.localdate()
    shop = Shop(sku)
    shop.came(9, today - timedelta(days=40))
    shop.sent(3, today - timedelta(days=20))
    at = f"/reorder/skus/{sku.pk}/demand/"
    assert f'href="{at}"' in body(buyer.get(f"/reorder/skus/{sku.pk}/"))
    page = body(buyer.get(at, {"by": "week"}))
    assert "<b>3</b> sold less returned" in page
    assert '<th scope="col">Week</th>' in page
    book = load_workbook(io.BytesIO(buyer.get(f"{at[:-1]}.xlsx", {"by": "week"}).content))
    rows = list(book.active.iter_rows(values_only=True))
    assert rows[0][2] == "sold less returned"
    assert sum(row[2] for row in rows[1:]) == 3


def test_a_page_of_periods_at_a_time(buyer):
    sku, today = SkuFactory(), timezone.localdate()
    for n in range(1, 60):
        year, month = divmod(today.year * 12 + today.month - 1 - n, 12)
        EarlierSalesFactory(sku=sku, month=today.replace(year=year, month=month + 1, day=1), sold=1)
    page = body(buyer.get(f"/reorder/skus/{sku.pk}/demand/"))
    assert "<b>59</b> sold less returned" in page
    assert "Page 1 of 2" in page
    assert "other books tell of months only" in body(
        buyer.get(f"/reorder/skus/{sku.pk}/demand/", {"by": "week"})
    )


def test_sizes_asked_for_in_vain(buyer):
    SkuFactory()
    when = timezone.now() - timedelta(days=9)
    EnquiryFactory(sku=None, size="185/70 R 15", pieces=2, asked_at=when)
    EnquiryFactory(sku=None, size="165 R 400", pieces=8, asked_at=when)
    page = body(buyer.get("/reorder/sizes/"))
    assert page.index("165 R 400") < page.index("185/70 R 15")
    assert "no SKU has it" in page
    assert "185/70 R 15" not in body(buyer.get("/reorder/sizes/", {"served": "no"}))
    assert "165 R 400" not in body(buyer.get("/reorder/sizes/", {"q": "185"}))
    page = body(buyer.get("/reorder/sizes/", {"by": "size", "served": "all"}))  # no such choice
    assert "165 R 400" in page


@pytest.mark.parametrize("path", ["sizes/", "skus/{}/demand/", "skus/{}/demand.xlsx"])
def test_it_is_the_buyers(signed_in, path):
    path = f"/reorder/{path.format(SkuFactory().pk)}"
    assert signed_in("counter").get(path).status_code == 403
    assert signed_in("buyer").get(path).status_code == 200


def test_what_the_night_learnt_is_told_with_its_day(buyer, same_queries):
    LearntFactory(learnt_at=timezone.now())
    day = timezone.localdate().strftime("%-d %b %Y")
    page = body(buyer.get("/season/"))
    assert f"in the night of {day}" in page
    assert "9310 pieces of 412 SKUs" in page
    assert ">2.00</td>" in page  # road tyres in March, as it was kept
    sku = SkuFactory()
    page = body(buyer.get(f"/reorder/skus/{sku.pk}/"))
    assert f"as the night of {day}" in page
    assert "1.50 pieces in a month of no season" in page
    assert "Stock in time, week by week" in page
    # Nothing is reckoned for the page of the season, whatever is in the books.
    look = lambda: body(buyer.get("/season/"))  # noqa: E731
    more = lambda: Shop(sku).came(3, timezone.localdate() - timedelta(days=9))  # noqa: E731
    assert same_queries(look, more) <= 12
