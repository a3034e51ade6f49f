"""Alerts, seasons and earlier sales over the API: found, filtered, answered, safe to repeat."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inventory.models.alert import AlertOverride
from inventory.models.season import SeasonChange
from tests.factories.catalogue import SkuFactory
from tests.factories.planning import AgeingAlertFactory, AlertFactory
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db
LATER = (timezone.localdate() + timedelta(days=30)).isoformat()


def done(answer, status=200):
    assert answer.status_code == status, answer.content
    return answer.json()


def test_what_stands_is_found_by_what_it_is_about(api):
    buyer = api("buyer")
    alert = AlertFactory(cause="season", order_by=date(2026, 12, 1))
    AlertFactory(ended=True)
    AlertFactory(order_by=date(2027, 5, 1))
    found = read(buyer, "alerts/", standing="true", by_day="2026-12-31")["results"]
    assert [one["id"] for one in found] == [alert.pk]
    assert found[0]["told"]["order"]["pack"] == 4
    assert [one["sku_code"] for one in read(buyer, "alerts/", cause="season")["results"]] == [
        alert.sku.code
    ]
    refused(buyer.get("/api/v1/alerts/?cause=luck"), 400, pointer="/cause")


def test_answered_step_by_step(api):
    buyer, alert = api("buyer"), AlertFactory(pieces=8)
    path = f"alerts/{alert.pk}/"
    assert done(write(buyer, "post", f"{path}acknowledge/"))["acknowledged_by"] == "buyer"
    said = {"until": LATER, "why": "the maker rings"}
    assert done(write(buyer, "post", f"{path}leave/", said))["left_until"] == LATER
    assert [one["id"] for one in read(buyer, "alerts/", left="true")["results"]] == [alert.pk]
    said = {"pieces": 12, "why": "a club rang"}
    for _ in range(2):
        done(write(buyer, "post", f"{path}override/", said, key="the-same"))
    assert AlertOverride.objects.count() == 1
    row = read(buyer, "alert-overrides/", alert=alert.pk)["results"][0]
    assert (row["pieces"], row["tool_pieces"], row["made_by"]) == (12, 8, "buyer")


def test_what_is_refused(api):
    buyer, alert = api("buyer"), AlertFactory()
    path = f"alerts/{alert.pk}/"
    said = {"until": "2020-01-01", "why": "x"}
    refused(write(buyer, "post", f"{path}leave/", said), 400, "after today")
    refused(write(buyer, "post", f"{path}override/", {"pieces": -1, "why": "x"}), 400, "0 to 100")
    refused(write(buyer, "post", f"{path}override/", {"pieces": 4}), 400, pointer="/why")
    ended = AlertFactory(ended=True)
    refused(write(buyer, "post", f"alerts/{ended.pk}/acknowledge/"), 409, "true no more")
    refused(write(api("warehouse"), "post", f"{path}acknowledge/"), 403)


def test_ageing_is_answered_alike(api):
    buyer, alert = api("buyer"), AgeingAlertFactory()
    path = f"ageing-alerts/{alert.pk}/"
    assert done(write(buyer, "post", f"{path}acknowledge/"))["lot_code"] == alert.lot.code
    done(write(buyer, "post", f"{path}leave/", {"until": LATER, "why": "an offer is out"}))
    found = read(buyer, "ageing-alerts/", seen_to="true", sku=alert.lot.sku_id)["results"]
    assert [one["id"] for one in found] == [alert.pk]
    refused(write(api("warehouse"), "post", f"{path}acknowledge/"), 403)


def test_a_season_and_what_will_be_otherwise(api):
    buyer = api("buyer")
    said = {"name": "2027", "first_day": "2026-11-01", "last_day": "2027-09-30", "budget": "9000"}
    season = done(write(buyer, "post", "seasons/", said), 201)
    refused(write(buyer, "post", "seasons/", {**said, "last_day": "2026-10-01"}), 422)
    answer = buyer.get(f"/api/v1/seasons/{season['id']}/")
    changed = write(
        buyer, "patch", f"seasons/{season['id']}/", {"budget": "12000"}, If_Match=answer["ETag"]
    )
    assert done(changed)["budget"] == "12000.00"
    said = {
        "category": "road", "first_day": "2027-05-01", "last_day": "2027-05-31", "percent": 20,
        "why": "a jubilee",
    }  # fmt: skip
    change = done(write(buyer, "post", "season-changes/", said), 201)
    assert change["made_by"] == "buyer"
    path = f"season-changes/{change['id']}/take-back/"
    assert done(write(buyer, "post", path, {"why": "put off"}))["withdrawn_why"] == "put off"
    refused(write(buyer, "post", path, {"why": "again"}), 409, "taken back already")
    assert SeasonChange.objects.standing().count() == 0


def test_a_month_of_other_books_is_entered_once(api):
    buyer, sku = api("buyer"), SkuFactory()
    said = {"sku": sku.pk, "month": "2026-05-01", "sold": -2, "source": "till"}
    month = done(write(buyer, "post", "earlier-sales/", said), 201)
    refused(write(buyer, "post", "earlier-sales/", said), 422, "there already")
    refused(write(buyer, "post", "earlier-sales/", {**said, "month": "2026-06-02"}), 422)
    path = f"earlier-sales/{month['id']}/"
    assert done(write(buyer, "patch", path, {"sold": 4}))["sold"] == 4


def test_a_front_has_one_rear(api):
    buyer, front, rear = api("buyer"), SkuFactory(), SkuFactory()
    said = {"front": front.pk, "rear": rear.pk, "source": "orders"}
    pair = done(write(buyer, "post", "sku-pairs/", said), 201)
    assert (pair["front_code"], pair["in_sets"]) == (front.code, 60)
    refused(write(buyer, "post", "sku-pairs/", said), 400, pointer="/front")
    alike = SkuFactory().pk
    refused(write(buyer, "post", "sku-pairs/", {**said, "front": alike, "rear": alike}), 422)
