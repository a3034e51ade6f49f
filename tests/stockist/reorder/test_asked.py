"""One step from the alert: what an SKU was asked for, and the sizes asked for in vain."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from tests.factories.catalogue import SkuFactory
from tests.factories.planning import AlertFactory, EarlierSalesFactory
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
