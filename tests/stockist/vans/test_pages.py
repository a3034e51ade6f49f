"""The pages of vans: taken out, loaded, sold from, unloaded, compared."""

from __future__ import annotations

import pytest

from inventory.models.balance import Balance
from inventory.models.outing import Outing
from inventory.models.sale import Order
from inventory.models.transfer import Transfer
from tests.factories.catalogue import GtinFactory, SkuFactory
from tests.factories.people import CustomerFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.vans import OutingFactory

pytestmark = pytest.mark.django_db
NUMBER = "09520123456788"


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def outing():
    """A van that is out for Harrowmere, twelve of LOT-1 in rack A-01 at home."""
    home, van = SiteFactory(code="FEN", name="Mill Lane"), SiteFactory(van=True, code="VAN")
    PlaceFactory(site=home, in_transit=True)
    PlaceFactory(site=van, code="VAN-1", room=10)
    PlaceFactory(site=van, code="VAN-OUT", despatch=True)
    sku = SkuFactory(code="TB-ROAD")
    GtinFactory(number=NUMBER, skus=[sku])
    rack = PlaceFactory(site=home, code="A-01")
    stock_in(lot=LotFactory(sku=sku, code="LOT-1"), place=rack, on_hand=12)
    return OutingFactory(van=van, home=home, meeting="Harrowmere")


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def do(client, outing, step, key="k", **said):
    return client.post(f"/vans/{outing.pk}/{step}/", {"idempotency_key": key, **said})


def loaded(client, outing, quantity=8):
    said = {"into": "VAN-1", "loads": f"LOT-1\nA-01\n{quantity}"}
    return do(client, outing, "load", key=f"load-{quantity}", **said)


def test_a_van_is_taken_out_and_listed(warehouse, outing):
    page = body(warehouse.get("/vans/", {"stands": "out"}))
    assert "Harrowmere" in page
    assert '<a href="/vans/" aria-current="page">Vans</a>' in page
    assert "None like that" in body(warehouse.get("/vans/", {"stands": "back"}))
    assert "None like that" in body(warehouse.get("/vans/", {"q": "Otherwhere"}))
    said = {"van": outing.van_id, "home": outing.home_id, "meeting": "X", "day": "2026-12-01"}
    page = body(warehouse.post("/vans/new/", {**said, "idempotency_key": "1"}), 400)
    assert "is out already, for Harrowmere" in page
    said["van"] = SiteFactory(van=True).pk
    answer = warehouse.post("/vans/new/", {**said, "idempotency_key": "2"})
    assert answer["Location"] == f"/vans/{Outing.objects.get(meeting='X').pk}/"
    body(warehouse.get("/vans/new/"))


def test_loaded_sold_and_back(warehouse, outing, signed_in):
    page = body(warehouse.get(loaded(warehouse, outing)["Location"]))
    assert "✓ 8 loaded into VAN-1 by T-" in page
    assert "Sell from the van" not in page
    owner, buyer = signed_in("owner"), CustomerFactory(name="Edda Marsh")
    said = {"scanned": NUMBER, "quantity": 2, "name": buyer.name}
    answer = do(owner, outing, "sell", key="2", **said)
    order = Order.objects.get()
    assert (order.reference, order.customer) == (outing.number, buyer)
    assert answer["Location"] == f"/picks/{order.pick_lists.get().pk}/"
    page = body(owner.get(answer["Location"]))
    assert "VAN-1" in page
    counter = signed_in("counter")
    said = {"scanned": "LOT-1", "quantity": 1, "name": buyer.name}
    answer = do(counter, outing, "sell", key="3", **said)
    assert answer["Location"] == f"/orders/{Order.objects.latest('pk').pk}/"
    assert Balance.objects.get(place__code="VAN-1").held == 3


def test_unloaded_with_a_difference_that_is_told(warehouse, outing):
    loaded(warehouse, outing)
    lot = Balance.objects.get(place__code="VAN-1").lot_id
    assert "8 by the books" in body(warehouse.get(f"/vans/{outing.pk}/"))
    said = {"into": "A-01", f"lot_{lot}": 7}
    answer = do(warehouse, outing, "unload", key="3", **said)
    back = Transfer.objects.get(to_site=outing.home)
    assert answer["Location"] == f"/goods-in/transfers/{back.pk}/"
    page = body(warehouse.get(answer["Location"]))
    assert "! 1 did not come back: say below what became of them." in page
    assert "! 1 not found yet" in body(warehouse.get(f"/vans/{outing.pk}/"))
    end = {"reason": "lost", "idempotency_key": "4"}
    warehouse.post(f"/goods-in/transfers/{back.pk}/end/", end)
    page = body(warehouse.get(f"/vans/{outing.pk}/"))
    assert "! 1 did not come back" in page
    assert "✓ back" in page


def test_unloaded_whole_by_scan_or_empty(warehouse, outing):
    loaded(warehouse, outing, 4)
    answer = do(warehouse, outing, "unload", key="3", scan="1")
    back = Transfer.objects.get(to_site=outing.home)
    assert answer["Location"] == f"/goods-in/transfers/{back.pk}/"
    page = body(warehouse.get(answer["Location"]))
    assert "4 are to be scanned in." in page
    assert "Scan the tyre" in page
    other = OutingFactory(home=outing.home)
    page = body(warehouse.get(do(warehouse, other, "unload", key="4")["Location"]))
    assert "✓ Nothing was left in the van." in page


def test_unloaded_whole(warehouse, outing):
    loaded(warehouse, outing, 4)
    lot = Balance.objects.get(place__code="VAN-1").lot_id
    answer = do(warehouse, outing, "unload", key="3", into="A-01", **{f"lot_{lot}": 4})
    page = body(warehouse.get(answer["Location"]))
    assert "✓ All that was left by the books came back." in page
    assert "✓ all of it" in page
    assert "is unloaded by" not in body(do(warehouse, outing, "unload", key="4"), 409)


@pytest.mark.parametrize(
    ("step", "said", "status", "words"),
    [
        ("load", {"into": "A-01"}, 400, "name a rack of"),
        ("load", {"into": "LOT-1"}, 400, "and the label of a place is wanted"),
        ("load", {"loads": "LOT-1 A-01 0"}, 400, "0 tyres cannot be booked"),
        ("load", {"loads": "LOT-1 A-01 -1"}, 400, "a lot, a place and a number are wanted"),
        ("load", {"loads": "LOT-1 A-01 2.5"}, 400, "a lot, a place and a number are wanted"),
        ("load", {"loads": "LOT-1 A-01 1000000000"}, 400, "a number are wanted"),
        ("load", {"loads": "LOT-1 A-01 9"}, 409, "VAN-1 has room for 10 and holds 2"),
        ("unload", {"into": "VAN-1"}, 400, "name a rack, a place of goods in"),
        ("unload", {"into": ""}, 400, "Say into which place of Mill Lane"),
        ("unload", {"into": "A-01", "lot": 3}, 409, "2 of lot LOT-1 are on the way"),
        ("unload", {"into": "A-01", "lot": -1}, 400, "greater than or equal to 0"),
        ("sell", {"scanned": "NO"}, 400, "the label of a tyre in the van is wanted"),
        ("sell", {"quantity": 0}, 400, "0 tyres cannot be booked"),
        ("sell", {"quantity": 3}, 409, "2 of lot LOT-1 are free in race van"),
        ("sell", {"scanned": "TB-ROAD", "quantity": 3}, 409, "2 "),
        ("sell", {"name": ""}, 400, "Say for whom it is."),
    ],
)
def test_what_cannot_be_is_told_and_heard(step, said, status, words, signed_in, outing):
    owner = signed_in("owner")
    loaded(owner, outing, 2)
    lot = Balance.objects.get(place__code="VAN-1").lot_id
    filled = {
        "load": {"into": "VAN-1", "loads": "LOT-1 A-01 1"},
        "sell": {"scanned": "LOT-1", "quantity": 1, "name": "Edda Marsh"},
        "unload": {f"lot_{lot}": said.pop("lot", 2)},
    }[step]
    page = body(do(owner, outing, step, **{**filled, **said}), status)
    assert words in page
    assert 'data-sound="wrong"' in page
    assert not Order.objects.exists()
    assert Outing.objects.get().ended_at is None


def test_who_may_do_what(signed_in, outing):
    for role, may in (("counter", {"sell"}), ("warehouse", {"load", "unload"}), ("buyer", set())):
        client = signed_in(role)
        body(client.get("/vans/"))
        body(client.get(f"/vans/{outing.pk}/"))
        assert client.get("/vans/new/").status_code == (200 if "load" in may else 403)
        for step in ("load", "sell", "unload"):
            answer = do(client, outing, step, key=f"{role}-{step}")
            assert (answer.status_code != 403) == (step in may), (role, step)
            Outing.objects.update(ended_at=None, ended_by=None)
