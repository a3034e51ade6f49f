"""What an SKU was asked for, over the API."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories.catalogue import SkuFactory
from tests.support.calling import read, refused
from tests.support.traded import Shop

pytestmark = pytest.mark.django_db
PATH = "/api/v1/demand/"


def test_by_month_and_by_week(api):
    buyer, today = api("buyer"), timezone.localdate()
    shop = Shop(SkuFactory())
    shop.came(6, today - timedelta(days=80))
    shop.sent(4, today - timedelta(days=40))
    for by in ("month", "week"):
        found = read(buyer, "demand/", sku=shop.sku.pk, by=by)
        assert (found["sku"], found["by"]) == (shop.sku.pk, by)
        assert sum(span["sold"] for span in found["results"]) == 4
        assert found["results"][0]["days_with"] == found["results"][0]["days"]
    assert len(read(buyer, "demand/", sku=shop.sku.pk, count=1)["results"]) == 1


def test_what_is_refused(api):
    buyer, sku = api("buyer"), SkuFactory()
    refused(buyer.get(PATH), 400, pointer="/sku")
    refused(buyer.get(PATH, {"sku": sku.pk + 1}), 400, pointer="/sku")
    refused(buyer.get(PATH, {"sku": sku.pk, "by": "day"}), 400, pointer="/by")
    refused(buyer.get(PATH, {"sku": sku.pk, "count": 0}), 400, pointer="/count")
    refused(buyer.get(PATH, {"sku": sku.pk, "since": "2026-01-01"}), 400)
    refused(api("counter").get(PATH, {"sku": sku.pk}), 403)
    refused(api().get(PATH), 401)
