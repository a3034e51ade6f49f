"""Two nights at once, and a buyer who speaks while the night writes."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities import alerting
from inventory.models.alert import Alert, AlertOverride
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.when import AT, TODAY
from tests.inventory.alerting.test_keeping import noted
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_nights_at_once_raise_one_alert_each():
    found = [noted(SkuFactory()) for _ in range(5)]
    night = lambda: alerting.keep_alerts(found=found, at=AT)  # noqa: E731
    told = at_once(night, night, night)
    assert sorted(kept.raised for kept in told) == [0, 0, 5]
    assert Alert.objects.standing().count() == 5


def test_what_the_buyer_says_meanwhile_is_kept():
    sku, buyer = SkuFactory(), UserFactory()
    alerting.keep_alerts(found=[noted(sku)], at=AT)
    alert, until = Alert.objects.get(), TODAY + timedelta(days=9)
    told = at_once(
        lambda: alerting.keep_alerts(found=[noted(sku, pieces=20)], at=AT + timedelta(days=1)),
        lambda: alerting.leave(alert=alert, until=until, why="x", by=buyer, at=AT),
        lambda: alerting.override(alert=alert, pieces=2, why="y", by=buyer, at=AT),
    )
    assert not [each for each in told if isinstance(each, Exception)], told
    alert.refresh_from_db()
    assert (alert.left_until, alert.pieces) == (until, 20)
    assert AlertOverride.objects.get().tool_pieces in {8, 20}
