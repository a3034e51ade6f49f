"""From the tables to kept alerts in one night in which everything is wrong with something."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from inventory.ground.jobs.kinds import Work
from inventory.models.alert import AgeingAlert, Alert
from inventory.tasks import ageing_alerts, reorder_alerts
from tests.factories.buying import (
    ExpectedDeliveryFactory,
    PriceBreakFactory,
    ProductionBatchFactory,
    SupplierTermsFactory,
)
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import EarlierSalesFactory, SeasonFactory, SkuPairFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
AT = datetime(2027, 1, 12, 8, 0, tzinfo=UTC)
NIGHT = Work(0, "tonight", {}, None, AT)


def sold(sku, *pieces):
    """Pieces by month, the latest last, until December 2026."""
    for n, number in enumerate(reversed(pieces)):
        year, month = divmod(2026 * 12 + 11 - n, 12)
        EarlierSalesFactory(sku=sku, month=date(year, month + 1, 1), sold=number)
    return sku


def terms(sku, **more):
    made = SupplierTermsFactory(
        sku=sku, **{"lead_time_days": 42, "lead_time_spread_days": 0, **more}
    )
    PriceBreakFactory(terms=made)
    return made


def no_history(sku):
    terms(sku)


def one_sale(sku):
    terms(sold(sku, 2))


def more_came_back_than_went_out(sku):
    terms(sold(sku, 3, 1, -9))


def sent_and_all_of_it_back(sku):
    terms(sku)
    shop = Shop(sku)
    shop.came(4, date(2026, 9, 1))
    shop.sent(4, date(2026, 10, 1))
    shop.returned(4, date(2026, 11, 2))
    shop.sent(4, date(2027, 1, 11))


def no_terms(sku):
    sold(sku, *[4] * 24)


def no_price(sku):
    SupplierTermsFactory(sku=sold(sku, *[4] * 24), lead_time_days=42)


def a_cut_off_past(sku):
    made = terms(sold(sku, *[4] * 24))
    ProductionBatchFactory(
        supplier=made.supplier, code="LAST", order_by=date(2027, 1, 2), ready_on=date(2027, 2, 20)
    )


def an_overdue_delivery(sku):
    terms(sold(sku, *[4] * 24))
    ExpectedDeliveryFactory(sku=sku, expected_on=AT.date() - timedelta(days=90), quantity=40)


def more_at_once_than_ever(sku):
    terms(sold(sku, *[0] * 23, 100_000))


def another_currency(sku):
    terms(sold(sku, *[4] * 24), currency="EUR")


BAD = {
    no_history: "No sale yet: all of the forecast is its range's average.",
    one_sale: "Sold in one month only",
    more_came_back_than_went_out: "5 came back that no sale in the history explains: left out.",
    sent_and_all_of_it_back: "No sale yet",
    no_terms: "No supplier's terms: reckoned with a lead time of 28 days.",
    no_price: "No price known: the cost of the order is left out.",
    a_cut_off_past: "The cut-off of batch LAST was 2 Jan 2027: it is closed.",
    an_overdue_delivery: "",
    more_at_once_than_ever: "100 000 sold in one month are out of all proportion",
    another_currency: "",
}


@pytest.fixture
def house():
    """A sound pair, and one SKU of each that is wrong; a season that somebody ended in 2099."""
    SeasonFactory(last_day=date(2099, 12, 31), budget=Decimal(5000))
    pair = SkuPairFactory(front__code="GOOD-FRONT", rear__code="GOOD-REAR")
    for sku in (pair.front, pair.rear):
        terms(sold(sku, *[4] * 24))
    alone = SkuPairFactory(front__code="ALONE", rear__status="discontinued")
    terms(sold(alone.front, *[4] * 24))
    for case in BAD:
        case(SkuFactory(code=f"BAD-{case.__name__}"))
    stock_in(lot=LotFactory(undated=True), on_hand=3)
    stock_in(lot=LotFactory(date_code="1419", unit_cost=None), on_hand=3)


def test_each_has_its_sentence_and_the_rest_goes_on(house):
    result = reorder_alerts(NIGHT, None).result
    assert "are at risk" in result
    kept = {alert.sku.code: alert for alert in Alert.objects.standing().select_related("sku")}
    for code in ("GOOD-FRONT", "GOOD-REAR", "ALONE"):
        assert kept[code].told["problems"] == []
    for case, words in BAD.items():
        alert = kept[f"BAD-{case.__name__}"]
        assert any(one.startswith(words) for one in alert.told["problems"]) or not words, case
        assert alert.sentence.endswith(".")
        assert alert.first_risk >= AT.date()
        assert len(alert.told["course"]["stock"]) == 31
    assert kept["BAD-an_overdue_delivery"].told["coming"][0]["overdue"] is True
    assert kept["BAD-another_currency"].currency == "EUR"
    assert kept["BAD-no_price"].cost is None


def test_old_stock_of_unknown_age_or_price_is_no_hindrance(house):
    ageing_alerts(NIGHT, None)
    (one,) = AgeingAlert.objects.standing()
    assert (one.lot.date_code, one.money, one.suggestion) == ("1419", None, "off_sale")


def test_the_pages_of_all_of_them_open(house, signed_in):
    reorder_alerts(NIGHT, None)
    buyer = signed_in("buyer")
    for alert in Alert.objects.standing():
        for path in ("", "demand/"):
            answer = buyer.get(f"/reorder/skus/{alert.sku_id}/{path}")
            assert answer.status_code == 200, alert.sku.code
    assert buyer.get("/reorder/").status_code == 200
    assert buyer.get("/season/plan/").status_code == 200
