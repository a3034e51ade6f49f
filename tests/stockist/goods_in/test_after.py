"""Pages of what comes after a delivery: put away, complaints to their end, transfers."""

from __future__ import annotations

import pytest

from inventory.models.balance import Balance
from inventory.models.transfer import Transfer
from tests.factories.buying import complaint, transfer
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def buyer(signed_in):
    return signed_in("buyer")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


# Put away


@pytest.fixture
def waiting():
    site = SiteFactory(code="FEN")
    PlaceFactory(site=site, code="A-01", room=6)
    return stock_in(place=PlaceFactory(site=site, code="IN-1", goods_in=True))


def put(client, balance, target="a-01", key="k", **said):
    told = {"lot": balance.lot.code, "target": target, "idempotency_key": key, **said}
    return client.post("/goods-in/put-away/", told)


def test_what_waits_is_told_its_best_place(warehouse, waiting):
    page = body(warehouse.get("/goods-in/put-away/"))
    assert waiting.lot.code in page
    assert "it is empty, room for 6 more" in page


def test_a_lot_and_a_place_scanned_put_all_of_it_away(warehouse, waiting):
    answer = put(warehouse, waiting)
    page = body(warehouse.get(answer["Location"]))
    assert f"✓ 4 of {waiting.lot.code} put away in A-01." in page
    assert "Nothing waits here." in page


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"target": "LOT-X"}, "“LOT-X” was read, and the label of a place is wanted."),
        ({"lot": "A-01"}, "“A-01” was read, and the label of a lot is wanted. That is place A-01."),
        ({"target": "IN-1"}, "IN-1 is goods in, no place to put tyres away in."),
        ({"quantity": 5}, "5 were asked for"),
        ({"quantity": 0}, "greater than or equal to 1"),
    ],
)
def test_what_was_scanned_and_what_was_wanted(said, words, warehouse, waiting):
    page = body(put(warehouse, waiting, **said), 400)
    assert words in page
    assert 'data-sound="wrong"' in page


def test_a_full_rack_unless_they_fit(warehouse, waiting):
    stock_in(place=PlaceFactory(site=waiting.place.site, code="B-01", room=5), on_hand=3)
    assert "2 too many" in body(put(warehouse, waiting, "B-01"), 400)
    assert put(warehouse, waiting, "B-01", they_fit="on").status_code == 302


def test_a_lot_that_does_not_wait_here(warehouse, waiting):
    other = stock_in()
    page = body(put(warehouse, other), 400)
    assert f"No {other.lot.code} waits in goods in here." in page


def test_every_site_has_its_own(warehouse, waiting):
    other = stock_in(place=PlaceFactory(goods_in=True, site=SiteFactory(code="STA")))
    page = body(warehouse.get("/goods-in/put-away/", {"site": "STA"}))
    assert other.lot.code in page
    assert waiting.lot.code not in page


def test_an_empty_house_has_nothing_to_put_away(warehouse):
    assert "Nothing waits here." in body(warehouse.get("/goods-in/put-away/"))


# Complaints


def follow(client, found, step, key="k", **said):
    path = f"/goods-in/complaints/{found.pk}/{step}/"
    return client.post(path, {"idempotency_key": key, **said})


def test_complaints_not_settled_are_listed(buyer):
    found = complaint()
    page = body(buyer.get("/goods-in/complaints/"))
    assert found.number in page
    assert "! to be sent" in page
    assert "None like that" in body(buyer.get("/goods-in/complaints/", {"state": "settled"}))
    assert found.number in body(buyer.get("/goods-in/complaints/", {"reason": "damaged"}))
    assert "None like that" in body(buyer.get("/goods-in/complaints/", {"reason": "too_old"}))


def test_a_complaint_is_followed_to_its_end(buyer):
    found = complaint()
    path = f"/goods-in/complaints/{found.pk}/"
    assert "in quarantine, lot" in body(buyer.get(path))
    page = body(buyer.get(follow(buyer, found, "send", their_reference="R-9")["Location"]))
    assert "their reference R-9" in page
    assert "was sent by buyer already" in body(follow(buyer, found, "send", key="2"), 409)
    said = {"settlement": "credit", "answer": "By letter.", "credit": "190"}
    page = body(buyer.get(follow(buyer, found, "settle", key="3", **said)["Location"]))
    assert "✓ settled" in page
    assert "credited, 190.00. By letter." in page
    page = body(follow(buyer, found, "settle", key="4", **said), 409)
    assert "was settled on" in page
    assert found.number in body(buyer.get("/goods-in/complaints/", {"state": "settled"}))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"settlement": "luck", "answer": "x"}, "Select a valid choice."),
        ({"settlement": "credit", "answer": ""}, "This field is required."),
        ({"settlement": "accepted", "answer": "x", "credit": "5"}, "Only a credit has an amount"),
    ],
)
def test_a_settlement_that_cannot_be(said, words, buyer):
    status = 400 if "Only" not in words else 422
    assert words in body(follow(buyer, complaint(), "settle", **said), status)


def test_the_warehouse_sends_the_tyres_back(warehouse):
    found = complaint()
    page = body(warehouse.get(f"/goods-in/complaints/{found.pk}/"))
    assert "The supplier has it" not in page
    assert follow(warehouse, found, "settle").status_code == 403
    page = body(warehouse.get(follow(warehouse, found, "send-back", key="2")["Location"]))
    assert "sent back to the supplier" in page
    assert not Balance.objects.filter(lot=found.lot, on_hand__gt=0).exists()
    assert "sent back already" in body(follow(warehouse, found, "send-back", key="3"), 409)


# Transfers


def test_loads_are_sent_off_and_booked_in(warehouse):
    balance = stock_in(on_hand=4)
    PlaceFactory(site=balance.place.site, in_transit=True)
    there = PlaceFactory(goods_in=True)
    said = {
        "from_site": balance.place.site_id, "to_site": there.site_id, "idempotency_key": "s",
        "loads": f"{balance.lot.code} {balance.place.code} 3\n\n",
    }  # fmt: skip
    body(warehouse.get("/goods-in/transfers/send/"))
    answer = warehouse.post("/goods-in/transfers/send/", said)
    sent = Transfer.objects.get()
    assert answer["Location"] == f"/goods-in/transfers/{sent.pk}/"
    assert "3 still to come" in body(warehouse.get(answer["Location"]))
    assert sent.number in body(warehouse.get("/goods-in/transfers/", {"state": "on_the_way"}))
    assert sent.number in body(warehouse.get("/goods-in/transfers/", {"state": "to_come"}))
    name, path = f"lot_{balance.lot_id}", f"{answer['Location']}arrival/"
    wrong = {"place": there.pk, name: 4, "idempotency_key": "a"}
    page = body(warehouse.post(path, wrong), 409)
    assert "3 of lot" in page
    assert 'data-sound="wrong"' in page
    came = {"place": there.pk, name: 3, "idempotency_key": "b"}
    page = body(warehouse.post(path, came, follow=True))
    assert "all of it booked in" in page
    assert "None like that" in body(warehouse.get("/goods-in/transfers/", {"state": "to_come"}))


@pytest.mark.parametrize(
    ("loads", "words"),
    [
        ("LOT-1", "Line 1: a lot, a place and a number are wanted."),
        ("{lot} {place} two", "Line 1: a lot, a place and a number are wanted."),
        (
            "{lot} {place} 1\nNO {place} 1",
            "Line 2: “NO” was read, and the label of a lot is wanted.",
        ),
        ("{lot} NO 1", "Line 1: “NO” was read, and the label of a place is wanted."),
        ("{lot} {place} 99", "99 were asked for"),
        ("{lot} {place} 0", "0 tyres cannot be booked"),
    ],
)
def test_loads_that_cannot_be(loads, words, warehouse):
    balance = stock_in()
    PlaceFactory(site=balance.place.site, in_transit=True)
    said = {
        "from_site": balance.place.site_id, "to_site": SiteFactory().pk, "idempotency_key": "s",
        "loads": loads.format(lot=balance.lot.code, place=balance.place.code),
    }  # fmt: skip
    assert words in body(warehouse.post("/goods-in/transfers/send/", said), 400)
    assert not Transfer.objects.exists()


def test_the_counter_sees_what_is_on_its_way(signed_in):
    sent = transfer()
    counter = signed_in("counter")
    assert sent.number in body(counter.get("/goods-in/transfers/"))
    page = body(counter.get(f"/goods-in/transfers/{sent.pk}/"))
    assert "4 still to come" in page
    assert "Scan the tyre" not in page
    for step in ("scan", "arrival", "take-up", "end"):
        path = f"/goods-in/transfers/{sent.pk}/{step}/"
        assert counter.post(path, {"idempotency_key": step}).status_code == 403
