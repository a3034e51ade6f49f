"""Asked at the meeting: the counter answers of the van alone, and what it promises is there."""

from __future__ import annotations

import pytest

from inventory.activities import picking
from inventory.models.balance import Balance
from inventory.models.hold import Hold
from inventory.models.place import PlaceKind
from inventory.models.sale import Order
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.stockist.selling.conftest import ANSWER, body, day, hidden


@pytest.fixture
def van(sku, shelf):
    """A van with four younger tyres than those at home."""
    site = SiteFactory(van=True, code="VAN", name="Meeting van")
    PlaceFactory(site=site, code="VAN-OUT", kind=PlaceKind.DESPATCH)
    stock_in(sku=sku, date_code="3025", on_hand=4, place=PlaceFactory(site=site, code="VAN-1"))
    return site


HERE = f"{ANSWER}&from_site=van"


def test_a_set_is_held_where_it_was_asked_for(counter, car, van):
    assert "VAN-1" not in hidden(body(counter.get(ANSWER)), "shown")
    page = body(counter.get(HERE))
    assert "Of what is in Meeting van alone." in page
    assert "1 set" in page
    said = {name: hidden(page, name) for name in ("asked", "offer", "shown")}
    told = {"idempotency_key": "k", "until": day(3), "name": "Orrin Tasker", **said}
    assert counter.post("/holds/new/", told).status_code == 302
    assert {line.place.code for line in Hold.objects.get().lines.all()} == {"VAN-1"}
    page = body(counter.get(HERE))
    assert "1 set" not in page
    led = counter.get("/counter/", {"q": "hallmere", **_of(van)})["Location"]
    assert led == "/counter/cars/HAL-1600/?from_site=VAN"


def _four(sku, place):
    """Four of the lot that lies in a place, as a form names them."""
    row = Balance.objects.get(lot__sku=sku, place__code=place)
    return f"four alike,{row.lot_id},{row.place_id},4"


def _of(van):
    return {"from_site": van.code}


def test_a_set_is_ordered_picked_and_sent_from_the_van(counter, car, van):
    page = body(counter.get(HERE))
    said = {name: hidden(page, name) for name in ("asked", "offer", "shown")}
    told = {"idempotency_key": "k", "name": "Orrin Tasker", "sets": 1, **said}
    assert counter.post("/orders/new/", told).status_code == 302
    order, by = Order.objects.get(), UserFactory()
    gather = van.places.get(code="VAN-OUT")
    listed = picking.make_list(order=order, to_place=gather, by=by, at=AT)
    assert {line.place.site for line in listed.lines.all()} == {van}


def test_one_tyre_is_answered_of_the_van_alone(counter, sku, van):
    path = f"/counter/tyres/{sku.code}/"
    everywhere, here = body(counter.get(path)), body(counter.get(path, _of(van)))
    assert "3 sets" in everywhere
    assert "1 set" in here
    assert (hidden(everywhere, "shown"), hidden(here, "shown")) == (
        _four(sku, "A-01"), _four(sku, "VAN-1"),
    )  # fmt: skip
    assert 'name="from_site" value="VAN"' in here


@pytest.mark.parametrize("path", [ANSWER, "/counter/tyres/TB-CAIRN/?limit=9"])
def test_a_site_that_is_not_there(path, counter, car, van):
    page = body(counter.get(f"{path}&from_site=NOPE"), 400)
    assert "No site is called “NOPE”" in page


def test_asked_by_the_wheels_it_is_still_the_van(counter, van):
    page = body(counter.get("/counter/wheels/", _of(van)))
    assert "Of what is in Meeting van alone." in page
    assert "This field is required" not in page
