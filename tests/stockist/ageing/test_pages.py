"""What grows old: ages by site, the lots to be seen to, and what a person says to one."""

from __future__ import annotations

import io
from datetime import date, timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from inventory.models.alert import AgeingAlert
from inventory.models.lot import Block
from tests.factories.planning import AgeingAlertFactory
from tests.factories.stock import LotFactory, stock_in

pytestmark = pytest.mark.django_db
LATER = (timezone.localdate() + timedelta(days=30)).isoformat()


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def rows_of(answer):
    book = load_workbook(io.BytesIO(answer.content))
    return [list(row) for row in book.active.iter_rows(values_only=True)]


class TestAgeing:
    """/ageing/"""

    def test_ages_by_site_and_the_limit_is_advice(self, buyer):
        stock_in(lot=LotFactory(date_code="1425"), on_hand=5)
        AgeingAlertFactory(lot__code="L-OLD")
        page = body(buyer.get("/ageing/"))
        assert "L-OLD" in page
        assert "not law" in page
        assert 'role="img"' in page
        assert "put on offer" in page
        assert "L-OLD" not in body(buyer.get("/ageing/", {"suggestion": "move"}))
        assert "L-OLD" in body(buyer.get("/ageing/", {"by": "money", "q": "l-old"}))

    def test_filtered_by_site(self, buyer):
        place = stock_in().place
        AgeingAlertFactory(lot__code="L-HERE", told={**AGED, "sites": {place.site.code: 4}})
        AgeingAlertFactory(lot__code="L-THERE")
        page = body(buyer.get("/ageing/", {"site": place.site_id}))
        assert "L-HERE" in page
        assert "L-THERE" not in page

    def test_as_a_spreadsheet(self, buyer):
        AgeingAlertFactory(lot__code="L-OLD", sentence="-1")
        row = rows_of(buyer.get("/ageing/ageing.xlsx"))[1]
        assert row[0] == "L-OLD"
        assert row[-1] == "'-1"

    def test_answered(self, buyer):
        alert = AgeingAlertFactory()
        at = f"/ageing/lots/{alert.pk}/"
        assert buyer.post(f"{at}seen/", {"idempotency_key": "1"}).status_code == 302
        said = {"until": LATER, "why": "a buyer is found", "idempotency_key": "2"}
        assert buyer.post(f"{at}leave/", said).status_code == 302
        page = body(buyer.get(at))
        assert "a buyer is found" in page
        assert "Take it off sale" not in page
        assert buyer.post(f"{at}off-sale/", {"idempotency_key": "3"}).status_code == 403

    def test_a_person_takes_it_off_sale_and_nothing_is_written_off(self, signed_in):
        alert = AgeingAlertFactory(crosses_on=date(2020, 1, 1))
        stock_in(lot=alert.lot)
        owner = signed_in("owner")
        at = f"/ageing/lots/{alert.pk}/"
        assert owner.post(f"{at}off-sale/", {"idempotency_key": "1"}).status_code == 302
        assert Block.objects.get().reason == "too_old"
        assert alert.lot.balances.get().on_hand == 4
        again = owner.post(f"{at}off-sale/", {"idempotency_key": "2"})
        assert "blocked for this reason already" in body(again, 409)

    def test_the_warehouse_looks(self, signed_in):
        AgeingAlertFactory()
        warehouse = signed_in("warehouse")
        assert "/reorder/" not in body(warehouse.get("/ageing/"))
        assert signed_in("counter").get("/ageing/").status_code == 403

    def test_in_a_fixed_number_of_queries(self, buyer, same_queries):
        AgeingAlertFactory()
        look = lambda: body(buyer.get("/ageing/"))  # noqa: E731
        assert same_queries(look, lambda: AgeingAlertFactory.create_batch(9)) <= 14
        assert AgeingAlert.objects.count() == 10


AGED = {"older": 0, "expected_sold": 1.0, "limit_months": 72, "busier": ""}
