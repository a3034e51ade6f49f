"""An alert that stays true is one row, and what a person said to it stays."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from inventory.activities import alerting
from inventory.ageing import Ageing
from inventory.models.alert import AgeingAlert, Alert
from inventory.reordering import Noted
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.planning import TOLD
from tests.factories.stock import LotFactory
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db
NIGHT = timedelta(days=1)


def noted(sku, pieces=8, **more):
    given = {
        "sku_id": sku.pk,
        "category": "road",
        "cause": "demand",
        "supplier_id": None,
        "batch_id": None,
        "first_risk": date(2027, 1, 20),
        "order_by": date(2026, 12, 9),
        "free": 4,
        "need": 6,
        "pieces": pieces,
        "cost": Decimal("760.00"),
        "currency": "GBP",
        "sentence": "Demand: 4 free.",
        "told": TOLD,
    }
    return Noted(**{**given, **more})


def test_one_row_for_as_many_nights_as_it_is_true():
    sku = SkuFactory()
    assert str(alerting.keep_alerts(found=[noted(sku)], at=AT)).startswith("1 new")
    kept = alerting.keep_alerts(found=[noted(sku, pieces=12)], at=AT + NIGHT)
    assert (kept.raised, kept.still, kept.ended) == (0, 1, 0)
    alert = Alert.objects.get()
    assert (alert.pieces, alert.raised_at, alert.seen_at) == (12, AT, AT + NIGHT)
    assert alerting.keep_alerts(found=[], at=AT + 2 * NIGHT).ended == 1
    alert.refresh_from_db()
    assert (alert.seen_at, alert.ended_at) == (AT + NIGHT, AT + 2 * NIGHT)
    # True again later: another one.
    assert alerting.keep_alerts(found=[noted(sku)], at=AT + 3 * NIGHT).raised == 1
    assert Alert.objects.count() == 2
    assert Alert.objects.standing().count() == 1


def test_what_was_said_to_it_stays():
    sku, buyer = SkuFactory(), UserFactory()
    alerting.keep_alerts(found=[noted(sku)], at=AT)
    alert = Alert.objects.get()
    alerting.acknowledge(alert=alert, by=buyer, at=AT)
    until = TODAY + timedelta(days=10)
    alerting.leave(alert=alert, until=until, why="the maker rings", by=buyer, at=AT)
    alerting.override(alert=alert, pieces=2, why="a club", by=buyer, at=AT)
    alerting.keep_alerts(found=[noted(sku, pieces=16)], at=AT + NIGHT)
    alert.refresh_from_db()
    assert (alert.acknowledged_by, alert.left_until, alert.pieces) == (buyer, until, 16)
    assert alert.overrides.get().tool_pieces == 8
    assert list(Alert.objects.shown(TODAY)) == []
    assert list(Alert.objects.shown(until)) == [alert]


def test_a_reckoning_that_comes_late_changes_nothing():
    sku = SkuFactory()
    alerting.keep_alerts(found=[noted(sku, pieces=12)], at=AT + NIGHT)
    kept = alerting.keep_alerts(found=[], at=AT)
    assert (kept.still, kept.ended) == (0, 0)
    assert Alert.objects.standing().get().pieces == 12
    alerting.keep_alerts(found=[noted(sku, pieces=4)], at=AT)
    assert Alert.objects.get().pieces == 12


def test_as_many_queries_for_twice_the_alerts(same_queries):
    skus = [SkuFactory() for _ in range(6)]

    def night():
        alerting.keep_alerts(found=[noted(sku) for sku in skus], at=AT)

    def more():
        skus.extend(SkuFactory() for _ in range(6))
        night()

    night()
    assert same_queries(night, more) <= 4


def test_ageing_is_kept_alike():
    lot = LotFactory()
    found = Ageing(
        lot.pk, date(2027, 8, 1), 4, Decimal("2.5"), None, "", "offer", "4 of lot L1.", {}
    )
    alerting.keep_ageing(found=[found], at=AT)
    alerting.keep_ageing(found=[found], at=AT + NIGHT)
    assert AgeingAlert.objects.get().seen_at == AT + NIGHT
    assert alerting.keep_ageing(found=[], at=AT + 2 * NIGHT).ended == 1
