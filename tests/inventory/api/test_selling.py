"""Selling over the API, step by step: held, ordered, picked, sent, returned, complained of."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.activities.blocking import block, lift
from inventory.activities.preordering import serve
from inventory.models.despatch import Despatch
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.pick import PickList
from inventory.models.sale import Order
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, SupplierFactory, UserFactory
from tests.factories.sending import Shop, held_set, packed
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db


def in_days(days: int) -> str:
    return (timezone.now() + timedelta(days=days)).isoformat()


@pytest.fixture
def shop():
    return Shop()


@pytest.fixture
def sku(shop):
    """Nine of one week in the first rack."""
    found = SkuFactory(code="TB-CAIRN")
    shop.stock(9, sku=found, date_code="1425")
    return found


def need(sku, **more):
    places = [{"name": axle, "skus": [sku.pk], "count": 2} for axle in ("front", "rear")]
    return {"places": places, **more}


def a_hold(tyre, **more):
    said = {
        "customer": CustomerFactory().pk,
        "need": need(tyre),
        "what": "four",
        "until": in_days(3),
    }
    return {**said, **more}


def made(answer) -> dict:
    assert answer.status_code == 201, answer.content
    return answer.json()


def done(answer) -> dict:
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_set_is_held_once_however_often_it_is_sent(api, sku):
    counter, told = api("counter"), a_hold(sku, said={"use": "road"})
    first = made(write(counter, "post", "holds/", told, key="one"))
    again = made(write(counter, "post", "holds/", told, key="one"))
    assert again == first
    assert Hold.objects.count() == 1
    assert sum(line["quantity"] for line in first["lines"]) == 4
    assert (first["lapsed"], first["answer"]["use"]) == (False, "road")
    refused(write(counter, "post", "holds/", {**told, "what": "five"}, key="one"), 422)
    path = f"holds/{first['id']}/"
    longer = {"until": in_days(9), "why": "the cheque is late"}
    for wrong in ({"until": in_days(9)}, {**longer, "why": " "}, {**longer, "why": "x" * 241}):
        refused(write(counter, "post", f"{path}extend/", wrong), 400)
    assert read(counter, path)["extensions"] == []
    later = done(write(counter, "post", f"{path}extend/", longer, key="longer"))
    assert done(write(counter, "post", f"{path}extend/", longer, key="longer")) == later
    (told,) = later["extensions"]
    assert (told["why"], told["extended_by"]) == ("the cheque is late", "counter")
    assert (told["until_before"], told["until_after"]) == (first["until"], later["until"])
    assert later["until"] > first["until"]
    assert read(counter, "holds/", standing="true")["results"]
    told = done(write(counter, "post", f"{path}release/", {"why": "bought elsewhere"}))
    assert (told["state"], told["ended_by"]) == ("released", "counter")
    refused(write(counter, "post", f"{path}release/", {"why": "again"}), 409, "ended")
    assert not read(counter, "holds/", standing="true")["results"]


def test_a_hold_says_which_of_its_lots_is_blocked(api, sku):
    counter = api("counter")
    path = f"holds/{made(write(counter, 'post', 'holds/', a_hold(sku)))['id']}/"
    assert [line["blocked"] for line in read(counter, path)["lines"]] == [[], []]
    lot = Lot.objects.get(pk=read(counter, path)["lines"][0]["lot"])
    placed = block(lot=lot, reason="damaged", by=UserFactory(), at=timezone.now())
    told = [["damaged"], ["damaged"]]
    assert [line["blocked"] for line in read(counter, path)["lines"]] == told
    (row,) = read(counter, "holds/")["results"]
    assert [line["blocked"] for line in row["lines"]] == told
    lift(block=placed, why="looked at", by=UserFactory(), at=timezone.now())
    assert [line["blocked"] for line in read(counter, path)["lines"]] == [[], []]


@pytest.mark.parametrize(
    ("more", "status", "words"),
    [
        ({"until": "2020-01-01T00:00:00Z"}, 400, "name a time to come"),
        ({"until": "Friday"}, 400, ""),
        ({"need": {"places": []}}, 400, ""),
        ({"need": {"places": [{"name": "front", "skus": [], "count": 2}]}}, 400, ""),
        ({"need": {"places": [{"name": "front", "skus": [10**9], "count": 2}]}}, 400, ""),
        ({"what": ""}, 400, ""),
        ({"customer": 10**9}, 400, ""),
        ({"colour": "red"}, 400, "There is no field"),
        ({"shown": [{"lot": 1, "place": 1, "quantity": 2.5}]}, 400, ""),
    ],
)
def test_what_cannot_be_held(more, status, words, api, sku):
    refused(write(api("counter"), "post", "holds/", a_hold(sku, **more)), status, words)
    assert not Hold.objects.exists()


@pytest.mark.parametrize("quantity", [0, -1, 10**9, 2.5, "two"])
def test_pieces_that_cannot_be_held(quantity, api, sku):
    told = a_hold(sku, sku=sku.pk, quantity=quantity)
    del told["need"]
    refused(write(api("counter"), "post", "holds/", told), 400)
    told["quantity"] = 3
    assert made(write(api("counter"), "post", "holds/", told))["lines"][0]["quantity"] == 3


def test_a_quote_becomes_an_order_with_pieces_beside_and_a_deposit(api, sku):
    counter, buyer_of = api("counter"), CustomerFactory()
    offer = {
        "customer": buyer_of.pk,
        "need": need(sku),
        "what": "four",
        "good_until": in_days(14)[:10],
    }
    quote = made(write(counter, "post", "quotes/", offer))
    order = made(
        write(counter, "post", "orders/", {
            "customer": buyer_of.pk, "reference": "RT 7", "wanted_on": "2027-02-01",
            "asks": [{"quote": quote["id"]}, {"sku": sku.pk, "quantity": 2}],
            "deposit": {"amount": "50.00", "currency": "GBP", "reference": "C 9"},
        })
    )  # fmt: skip
    assert [line["asks"] for line in order["lines"]] == ["sets", "pieces"]
    assert (order["deposit"], order["deposit_reference"]) == ("50.00", "C 9")
    path = f"orders/{order['id']}/"
    assert done(write(counter, "patch", path, {"reference": "RT 8"}))["reference"] == "RT 8"
    line = order["lines"][1]["id"]
    body = {"quantity": 1}
    assert done(write(counter, "post", f"order-lines/{line}/change/", body))["quantity"] == 1
    refused(write(counter, "post", f"order-lines/{line}/hold/"), 409)
    refused(write(counter, "post", f"order-lines/{line}/change/", {"quantity": 0}), 400)
    told = done(write(counter, "post", f"order-lines/{line}/cancel/", {"why": "enough"}))
    assert told["cancelled"]
    more = {"asks": [{"sku": sku.pk, "quantity": 1}]}
    assert len(done(write(counter, "post", f"{path}lines/", more))["lines"]) == 3
    more = {"asks": [{"need": need(sku), "what": "four"}], "holding": "some"}
    added = done(write(counter, "post", f"{path}lines/", more))["lines"][3]
    assert (added["asks"], added["quantity"]) == ("sets", 1)
    refused(write(counter, "post", f"{path}close/", {"why": "enough"}), 409)
    assert done(write(counter, "post", f"{path}cancel/", {"why": "sold"}))["state"] == "cancelled"
    refused(write(counter, "post", f"quotes/{quote['id']}/withdraw/", {"why": "late"}), 409)
    assert not Hold.objects.filter(state="open").exists()


@pytest.mark.parametrize(
    ("asks", "status"),
    [
        ([], 400),
        ([{}], 400),
        ([{"sku": 1, "hold": 1}], 400),
        ([{"quantity": 2}], 400),
    ],
)
def test_what_cannot_be_ordered(asks, status, api, sku):
    told = {"customer": CustomerFactory().pk, "asks": asks}
    refused(write(api("counter"), "post", "orders/", told), status)
    told["asks"] = [{"sku": sku.pk, "quantity": 10}]
    refused(write(api("counter"), "post", "orders/", told), 409, "9 of TB-CAIRN")
    assert not Order.objects.exists()


def test_the_queue(api):
    expected = ExpectedDeliveryFactory(quantity=6)
    counter, sku = api("counter"), expected.sku
    told = {
        "customer": CustomerFactory().pk, "need": need(sku), "what": "four", "if_short": "wait",
        "promised_on": expected.expected_on.isoformat(),
    }  # fmt: skip
    first = made(write(counter, "post", "pre-orders/", told))
    assert first["lines"] == [{"expected": expected.pk, "quantity": 4}]
    refused(write(counter, "post", "pre-orders/", told), 409)
    assert read(counter, "pre-orders/", sku=sku.pk, state="waiting")["results"] == [first]
    path = f"pre-orders/{first['id']}/withdraw/"
    assert done(write(counter, "post", path, {"why": "sold"}))["state"] == "withdrawn"
    assert made(write(counter, "post", "pre-orders/", told))["id"] != first["id"]


@pytest.fixture
def listed(api):
    """A set of four on a list, made over the API: the shop, the lot, the list."""
    shop, order, lot, _ = held_set(on_hand=6)
    told = {"order": order.pk, "to_place": shop.gather.pk}
    return shop, lot, made(write(api("warehouse"), "post", "pick-lists/", told))


def test_picked_by_scan_and_sent(api, listed):
    _, lot, one = listed
    warehouse, path = api("warehouse"), f"pick-lists/{one['id']}/"
    front, rear = (line["id"] for line in one["lines"])
    assert one["lines"][0]["date_code"] == "1425"
    scan = {"line": front, "scanned": lot.code}
    told = done(write(warehouse, "post", f"{path}scan/", scan, key="scan"))
    assert told["lines"][0]["confirmed"] == "scan"
    assert done(write(warehouse, "post", f"{path}scan/", scan, key="scan")) == told
    refused(write(warehouse, "post", f"{path}scan/", scan), 409, "is picked already")
    refused(write(warehouse, "post", f"{path}scan/", {"line": rear, "scanned": "X-9"}), 400)
    for quantity in (0, -1, 3, 10**9, 2.5):
        body = {"line": rear, "quantity": quantity}
        refused(write(warehouse, "post", f"{path}pick/", body), 400)
    refused(write(warehouse, "post", f"{path}pack/", {"parcels": 1}), 409, "to be picked")
    done(write(warehouse, "post", f"{path}pick/", {"line": rear}))
    for parcels in (0, -1, 10**9, 2.5):
        refused(write(warehouse, "post", f"{path}pack/", {"parcels": parcels}), 400)
    assert done(write(warehouse, "post", f"{path}pack/", {"parcels": 2}))["state"] == "packed"
    (leaving,) = read(warehouse, f"{path}leaving/")
    assert (leaving["may"], leaving["against"]) == ("leave", [])
    assert leaving["cautions"]
    refused(write(warehouse, "post", f"{path}word/", {"why": "x"}), 403)
    refused(write(api("owner"), "post", f"{path}word/", {"why": "x"}), 409)
    sent = made(write(warehouse, "post", f"{path}send/", {"carrier": "Wendle"}, key="send"))
    assert made(write(warehouse, "post", f"{path}send/", {"carrier": "Wendle"}, key="send")) == sent
    refused(write(warehouse, "post", f"{path}send/"), 409)
    assert Despatch.objects.count() == 1
    assert read(warehouse, "despatches/", lot=lot.pk)["results"] == [sent]
    assert not read(warehouse, "despatches/", against_advice="true")["results"]


def test_another_lot_short_left_out_and_given_up(api, listed):
    shop, lot, one = listed
    warehouse, path = api("warehouse"), f"pick-lists/{one['id']}/"
    near = shop.stock(4, sku=lot.sku, rack=1, date_code="1525")
    front, rear = (line["id"] for line in one["lines"])
    scan = {"line": front, "scanned": near.code}
    refused(write(warehouse, "post", f"{path}scan/", scan), 400, "the line asks for")
    other = {"line": front, "lot": near.pk, "place": shop.racks[1].pk}
    refused(write(warehouse, "post", f"{path}other/", other), 400, "Say why")
    told = done(write(warehouse, "post", f"{path}other/", {**other, "why": "wet"}))
    assert near.pk in [line["taken_lot"] for line in told["lines"]]
    refused(write(warehouse, "post", f"{path}short/", {"line": rear, "found": 2, "why": "x"}), 400)
    told = done(
        write(warehouse, "post", f"{path}short/", {"line": rear, "found": 0, "why": "gone"})
    )
    assert "short" in [line["state"] for line in told["lines"]]
    hold = one["lines"][0]["hold"]
    refused(write(warehouse, "post", f"{path}leave-out/", {"hold": hold, "why": ""}), 400)
    told = done(write(warehouse, "post", f"{path}leave-out/", {"hold": hold, "why": "gone"}))
    assert told["state"] == "cancelled"
    refused(write(warehouse, "post", f"{path}cancel/", {"why": "again"}), 409)
    assert PickList.objects.get().ended_by.username == "warehouse"


def test_returned_and_complained_of(api, shop):
    _, order, _, _ = held_set(shop)
    listed = packed(order, shop, order.made_by)
    warehouse = api("warehouse")
    sent = made(write(warehouse, "post", f"pick-lists/{listed.pk}/send/"))
    line = sent["lines"][0]["id"]
    came = {"line": line, "quantity": 1, "condition": "fitted", "place": shop.racks[0].pk}
    told = {"despatch": sent["id"], "reason": "not_wanted", "lines": [came]}
    for quantity in (0, -1, 10**9, 2.5):
        wrong = {**told, "lines": [{**came, "quantity": quantity}]}
        refused(write(warehouse, "post", "returns/", wrong), 400)
    refused(write(warehouse, "post", "returns/", {**told, "reason": "faulty"}), 409, "quarantine")
    back = made(write(warehouse, "post", "returns/", told))
    assert back["lines"][0]["into_lot"] != sent["lines"][0]["lot"]
    refused(write(warehouse, "post", "returns/", {**told, "lines": [{**came, "quantity": 2}]}), 409)
    said = {"despatch_line": line, "quantity": 1, "says": "A bulge.", "tread_left_mm": "6.5"}
    complaint = made(write(api("counter"), "post", "complaints/", said))
    assert complaint["customer"] == order.customer_id
    refused(write(api("counter"), "post", "complaints/", {**said, "quantity": 3}), 400)
    buyer, path = api("buyer"), f"complaints/{complaint['id']}/"
    refused(write(buyer, "post", f"{path}to-maker/"), 400)
    body = {"supplier": SupplierFactory().pk, "maker_reference": "R 4"}
    assert done(write(buyer, "post", f"{path}to-maker/", body))["state"] == "with_maker"
    refused(write(buyer, "post", f"{path}close/", {"outcome": "replaced", "answer": ""}), 400)
    body = {"outcome": "replaced", "answer": "Two new ones."}
    assert done(write(buyer, "post", f"{path}close/", body))["outcome"] == "replaced"
    refused(write(buyer, "post", f"{path}close/", body), 409)


def test_whoever_waits_sees_what_is_kept_for_them(api, shop):
    front, rear = (ExpectedDeliveryFactory(quantity=6) for _ in range(2))
    counter, day = api("counter"), max(front.expected_on, rear.expected_on)
    places = [
        {"name": axle, "skus": [coming.sku_id], "count": 2}
        for axle, coming in (("front", front), ("rear", rear))
    ]
    told = {"customer": CustomerFactory().pk, "need": {"places": places}, "what": "four"}
    told |= {"if_short": "wait", "promised_on": day.isoformat()}
    first = made(write(counter, "post", "pre-orders/", told))
    assert first["kept"] == []
    shop.stock(2, sku=front.sku)
    (kept,) = serve(expected=[front.pk], by=UserFactory(), at=timezone.now()).kept
    assert read(counter, f"pre-orders/{first['id']}/")["kept"] == [kept.pk]
    assert read(counter, f"holds/{kept.pk}/")["kept_for"] == first["id"]

    write(counter, "post", f"pre-orders/{first['id']}/withdraw/", {"why": "sold"})
    assert read(counter, f"pre-orders/{first['id']}/")["kept"] == []
