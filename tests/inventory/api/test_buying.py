"""Buying and goods in over the API: every step, safe to repeat, by who may."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models.delivery import Delivery
from inventory.models.purchase import PurchaseOrder
from inventory.models.transfer import Transfer
from tests.factories.buying import complaint, goods_in_at, sent_order, transfer
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db


def done(answer, status=200):
    assert answer.status_code == status, answer.content
    return answer.json()


def test_an_order_from_draft_to_sent(api):
    buyer, sku = api("buyer"), SkuFactory()
    told = {"supplier": SupplierFactory().pk, "deliver_to": SiteFactory().pk}
    order = done(write(buyer, "post", "purchase-orders/", told), 201)
    path = f"purchase-orders/{order['id']}/"
    line = {"sku": sku.pk, "quantity": 4, "unit_price": "95.00", "seen": order["version"]}
    order = done(write(buyer, "post", f"{path}lines/", line))
    refused(write(buyer, "post", f"{path}lines/", line), 412, "since you opened it")
    done(write(buyer, "patch", path, {"their_reference": "AB 12"}))
    order = done(write(buyer, "post", f"{path}send/", {}))
    assert (order["state"], order["number"]) == ("sent", f"PO-{order['id']:05}")
    assert [(one["sku_code"], one["to_come"]) for one in order["lines"]] == [(sku.code, 4)]
    refused(write(buyer, "post", f"{path}send/", {}), 409, "the supplier has it")
    found = read(buyer, "purchase-orders/", open="true", sku=sku.pk)["results"]
    assert [one["id"] for one in found] == [order["id"]]
    assert read(buyer, "purchase-lines/", open="true")["results"][0]["order"] == order["id"]
    order = done(write(buyer, "post", f"{path}drop-line/", {"sku": sku.pk}))
    assert order["state"] == "closed"


def test_terms_and_batches(api):
    buyer, supplier, sku = api("buyer"), SupplierFactory(), SkuFactory()
    told = {"supplier": supplier.pk, "sku": sku.pk, "minimum": 8}
    breaks = [{"from_quantity": 8, "unit_price": "95.00"}]
    terms = done(write(buyer, "post", "supplier-terms/", {**told, "breaks": breaks}), 201)
    assert terms["breaks"] == breaks
    path = f"supplier-terms/{terms['id']}/"
    seen = buyer.get(f"/api/v1/{path}")["ETag"]
    assert done(write(buyer, "patch", path, {"pack": 4}, If_Match=seen))["pack"] == 4
    refused(write(buyer, "patch", path, {"pack": 8}, If_Match=seen), 412)
    lead = {"lead_time_days": -1}
    refused(write(buyer, "patch", path, lead, If_Match="*"), 422, "A lead time is 1 to 1,100 days")
    told = {"minimum": 10}
    refused(write(buyer, "patch", path, told, If_Match="*"), 422, "10 is not whole packs of 4")
    cheap = [{"from_quantity": 8, "unit_price": "9"}, {"from_quantity": 9, "unit_price": "9.5"}]
    words = "does not rise with the quantity"
    refused(write(buyer, "patch", path, {"breaks": cheap}, If_Match="*"), 422, words)


def test_batches(api):
    buyer, supplier, sku = api("buyer"), SupplierFactory(), SkuFactory()
    today = timezone.localdate()
    batch = {
        "supplier": supplier.pk, "code": "SPRING", "skus": [sku.pk],
        "order_by": str(today + timedelta(days=14)), "ready_on": str(today + timedelta(days=90)),
    }  # fmt: skip
    made = done(write(buyer, "post", "production-batches/", batch), 201)
    assert made["skus"] == [sku.pk]
    refused(write(buyer, "post", "production-batches/", batch), 422, "this code already")
    late = {**batch, "code": "LATE", "order_by": str(today - timedelta(days=1))}
    words = "a batch is entered before its cut-off"
    refused(write(buyer, "post", "production-batches/", late), 422, words)
    path = f"production-batches/{made['id']}/"
    seen = buyer.get(f"/api/v1/{path}")["ETag"]
    done(write(buyer, "patch", path, {"skus": []}, If_Match=seen))
    refused(write(buyer, "patch", path, {"minimum_tyres": 40}, If_Match=seen), 412)
    refused(write(buyer, "patch", path, {"minimum_tyres": 0}, If_Match="*"), 422, "The least of a")


def opened(api, order, **told):
    body = {
        "supplier": order.supplier_id, "order": order.pk, "note_number": "DN 7",
        "arrived_on": "2026-11-20", "place": goods_in_at().pk, **told,
    }  # fmt: skip
    return done(write(api("warehouse"), "post", "deliveries/", body), 201)


def test_a_delivery_from_the_note_to_stock(api):
    order = sent_order(4)
    sku = order.lines.get().sku
    warehouse, delivery = api("warehouse"), opened(api, order)
    path = f"deliveries/{delivery['id']}/"
    done(write(warehouse, "post", f"{path}note-says/", {"sku": sku.pk, "quantity": 4}))
    tyre = {"sku": sku.pk, "quantity": 3, "date_code": "DOT B9XY 8LMN 3026", "country": "Norland"}
    line = done(write(warehouse, "post", f"{path}lines/", tyre, key="one"), 201)
    assert done(write(warehouse, "post", f"{path}lines/", tyre, key="one"), 201) == line
    assert (line["disagrees"], line["warnings"]) == ("", [])
    wrong = done(write(warehouse, "post", f"{path}lines/", {**tyre, "found": "damaged"}), 201)
    assert wrong["says"] == "Damaged."
    gone = write(warehouse, "delete", f"delivery-lines/{wrong['id']}/")
    assert gone.status_code == 204
    refused(
        write(warehouse, "post", f"{path}lines/", {**tyre, "date_code": "5426"}),
        422, pointer="/date_code",
    )  # fmt: skip
    seen = read(warehouse, f"purchase-orders/{order.pk}/")["version"]
    booked = done(write(warehouse, "post", f"{path}finish/", {"seen": seen}))
    assert booked["state"] == "booked"
    refused(write(warehouse, "post", f"{path}finish/", {}), 409, "was booked in by warehouse")
    (short,) = read(warehouse, "supplier-complaints/", delivery=delivery["id"])["results"]
    assert (short["reason"], short["quantity"]) == ("short", 1)
    (lot,) = read(warehouse, "lots/", delivery=booked["number"])["results"]
    assert (lot["on_hand"], lot["plant"]) == (3, "B9")


def test_a_delivery_in_other_hands_is_taken_up(api, owner_person):
    order = sent_order(4)
    delivery = opened(api, order)
    path, tyre = f"deliveries/{delivery['id']}/", {"sku": order.lines.get().sku_id}
    owner = api(owner_person)
    refused(write(owner, "post", f"{path}lines/", tyre), 409, "take it up first")
    assert done(write(owner, "post", f"{path}take-up/", {}))["at_work_by"] == "owner"
    done(write(owner, "post", f"{path}lines/", tyre), 201)
    done(write(owner, "patch", path, {"order": None}))
    given_up = done(write(owner, "post", f"{path}give-up/", {"why": "not ours"}))
    assert (given_up["state"], given_up["ended_why"]) == ("given_up", "not ours")


def test_one_delivery_stays_with_its_supplier(api):
    path = f"deliveries/{opened(api, sent_order(4))['id']}/"
    answer = write(api("warehouse"), "patch", path, {"supplier": SupplierFactory().pk})
    refused(answer, 400, "cannot be set")


def test_the_same_key_opens_one_delivery(api):
    order = sent_order(4)
    body = {
        "supplier": order.supplier_id, "note_number": "DN 7", "arrived_on": "2026-11-20",
        "place": goods_in_at().pk,
    }  # fmt: skip
    warehouse = api("warehouse")
    first, second = (write(warehouse, "post", "deliveries/", body, key="k") for _ in range(2))
    assert done(first, 201) == done(second, 201)
    refused(write(warehouse, "post", "deliveries/", body), 409, "is there already")
    assert Delivery.objects.count() == 1


def test_a_complaint_to_its_end(api):
    found, buyer = complaint(), api("buyer")
    path = f"supplier-complaints/{found.pk}/"
    assert done(write(buyer, "post", f"{path}send/", {"their_reference": "R"}))["state"] == "sent"
    refused(write(api("warehouse"), "post", f"{path}settle/", {}), 403)
    done(write(api("warehouse"), "post", f"{path}send-back/", {}))
    told = {"settlement": "credit", "answer": "By letter.", "credit": "190.00"}
    assert done(write(buyer, "post", f"{path}settle/", told))["settlement"] == "credit"
    assert read(buyer, "supplier-complaints/", settled="false")["results"] == []
    assert len(read(buyer, "supplier-complaints/", settled="true")["results"]) == 1


def test_a_complaint_opened_by_hand_is_opened_once(api):
    balance, warehouse = stock_in(on_hand=4), api("warehouse")
    PlaceFactory(site=balance.place.site, quarantine=True)
    told = {
        "lot": balance.lot_id, "quantity": 2, "reason": "wrong_country", "says": "Made in Sudland.",
        "supplier": SupplierFactory().pk, "place": balance.place_id,
    }  # fmt: skip
    first, second = (
        write(warehouse, "post", "supplier-complaints/", told, key="k") for _ in range(2)
    )
    assert done(first, 201) == done(second, 201)
    assert first["Location"].endswith(f"/supplier-complaints/{first.data['id']}/")
    assert (first.data["delivery"], first.data["lot"]) == (None, balance.lot_id)
    for wrong, status, words in (
        ({"quantity": 0}, 400, "0 tyres cannot be booked"),
        ({"quantity": -1}, 400, "-1 tyres cannot be booked"),
        ({"quantity": 10**9}, 400, "more than this shop can book at once"),
        ({"quantity": 3}, 409, "3 were asked for"),
        ({"reason": "short"}, 400, "nothing that is found on the shelf"),
        ({"lot": stock_in(lot=LotFactory(customers=True)).lot_id}, 409, "is not the shop's"),
        ({"says": ""}, 400, ""),
    ):
        refused(write(warehouse, "post", "supplier-complaints/", {**told, **wrong}), status, words)
    refused(write(api("buyer"), "post", "supplier-complaints/", told), 403)
    assert len(read(warehouse, "supplier-complaints/")["results"]) == 1


def test_put_away_with_room_and_without(api):
    balance = stock_in(place=PlaceFactory(goods_in=True))
    target = PlaceFactory(site=balance.place.site, room=2)
    body = {"lot": balance.lot_id, "source": balance.place_id, "target": target.pk, "quantity": 3}
    warehouse = api("warehouse")
    refused(write(warehouse, "post", "put-away/", body), 409, "1 too many", "/target")
    done(write(warehouse, "post", "put-away/", {**body, "they_fit": True}), 201)


def test_a_transfer_there(api):
    balance = stock_in(on_hand=4)
    PlaceFactory(site=balance.place.site, in_transit=True)
    there = PlaceFactory(goods_in=True)
    load = {"lot": balance.lot_id, "source": balance.place_id, "quantity": 3}
    told = {"from_site": balance.place.site_id, "to_site": there.site_id, "loads": [load]}
    warehouse = api("warehouse")
    sent = done(write(warehouse, "post", "transfers/", told), 201)
    assert sent["lines"][0]["quantity"] == 3
    came = [{"lot": balance.lot_id, "quantity": 1}, {"lot": balance.lot_id, "quantity": 2}]
    path = f"transfers/{sent['id']}/arrival/"
    arrived = done(write(warehouse, "post", path, {"place": there.pk, "came": came}))
    assert arrived["state"] == "arrived"


def test_the_counter_sees_what_is_on_its_way_and_no_prices(api):
    transfer()
    sent_order(4)
    counter = api("counter")
    assert len(read(counter, "transfers/")["results"]) == Transfer.objects.count()
    refused(counter.get("/api/v1/purchase-orders/"), 403)
    refused(counter.get("/api/v1/supplier-terms/"), 403)
    assert PurchaseOrder.objects.exists()
