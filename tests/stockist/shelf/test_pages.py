"""Pages of what lies where: lots and places, their labels, and a complaint about what was found."""

from __future__ import annotations

import pytest

from inventory.activities.blocking import block
from inventory.models.balance import Balance
from inventory.models.supplier_complaint import SupplierComplaint
from tests.factories.buying import complaint
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.symbols import pages_of, read_symbol

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def balance():
    lot = LotFactory(code="LOT-0140", country="Norland", delivery="note 7")
    found = stock_in(lot=lot, place=PlaceFactory(code="A-01-2", room=20), on_hand=4)
    PlaceFactory(site=found.place.site, code="Q-1", quarantine=True)
    return found


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode().replace("&amp;", "&").replace("&#x27;", "'")


def test_a_lot_tells_what_it_is_where_it_lies_and_what_stands_against_it(warehouse, balance):
    block(lot=balance.lot, reason="damaged", note="Wet.", by=UserFactory(), at=AT)
    page = body(warehouse.get(f"/shelf/lots/{balance.lot_id}/"))
    for words in ("Lot LOT-0140", "Norland", "note 7", "A-01-2", "Not for sale: damaged. Wet."):
        assert words in page
    assert f'href="/shelf/places/{balance.place_id}/"' in page


def label(warehouse, page, words):
    """The labels that a page leads to, asked for on labels of 100 by 50 mm."""
    address = page.split(f'">{words}')[0].rsplit('href="', 1)[1]
    form = body(warehouse.get(address))
    assert "selected>places<" in form or "of=lots" in address
    answer = warehouse.get(f"{address}&each=lot&size=100x50")
    assert answer["Content-Type"] == "application/pdf"
    (picture,) = pages_of(answer.content)
    return read_symbol(picture)


def test_the_label_of_a_lot_and_of_a_place_is_one_link_away(warehouse, balance):
    page = body(warehouse.get(f"/shelf/lots/{balance.lot_id}/"))
    assert "LOT-0140" in label(warehouse, page, "Print its labels")
    page = body(warehouse.get(f"/shelf/places/{balance.place_id}/"))
    assert "Room for 20 tyres." in page
    assert "A-01-2" in label(warehouse, page, "Print its label")


def test_a_scan_leads_to_its_lot_or_place(warehouse, balance):
    other = stock_in(on_hand=1)
    found = warehouse.get("/shelf/", {"scan": "lot-0140"})
    assert found["Location"] == f"/shelf/lots/{balance.lot_id}/"
    found = warehouse.get("/shelf/", {"scan": "A-01-2"})
    assert found["Location"] == f"/shelf/places/{balance.place_id}/"
    page = body(warehouse.get("/shelf/", {"scan": balance.lot.sku.code}))
    assert "LOT-0140" in page
    assert other.lot.code not in page
    assert "“NO” was read" in body(warehouse.get("/shelf/", {"scan": "NO"}))
    assert "None like that." in body(warehouse.get("/shelf/", {"kind": "quarantine"}))


def test_what_lies_where_is_listed_ordered_and_paged(warehouse, balance, same_queries):
    def more():
        for _ in range(26):
            stock_in(place=balance.place, on_hand=1)

    more()
    for at in ("/shelf/", f"/shelf/places/{balance.place_id}/"):
        assert same_queries(lambda at=at: body(warehouse.get(at)), more) <= 9
        assert "After these" in body(warehouse.get(at, {"order": "oldest"}))
    said = {"sku": balance.lot.sku.code}
    page = body(warehouse.get(f"/shelf/places/{balance.place_id}/", said))
    assert page.count("/shelf/lots/") == 1
    said = {"sku": SkuFactory().code}
    page = body(warehouse.get(f"/shelf/places/{balance.place_id}/", said))
    assert "Nothing like that lies here." in page


def complain(client, balance, key="k", **said):
    told = {
        "lot": balance.lot.code, "quantity": 1, "reason": "damaged", "says": "A bulge.",
        "supplier": SupplierFactory().pk, "idempotency_key": key, **said,
    }  # fmt: skip
    return client.post("/goods-in/complaints/new/", told)


def test_a_complaint_is_opened_from_the_page_of_a_lot_once(warehouse, balance):
    page = body(warehouse.get(f"/shelf/lots/{balance.lot_id}/"))
    address = f"/goods-in/complaints/new/?lot={balance.lot.code}"
    assert f'href="{address}"' in page
    assert 'value="LOT-0140"' in body(warehouse.get(address))
    supplier = SupplierFactory()
    for _ in range(2):
        answer = complain(warehouse, balance, supplier=supplier.pk)
    found = SupplierComplaint.objects.get()
    page = body(warehouse.get(answer["Location"]))
    for words in (found.number, "none that was booked in here", "in quarantine Q-1", "LOT-0140"):
        assert words in page
    assert Balance.objects.get(place__code="Q-1").on_hand == 1
    assert found.number in body(warehouse.get(f"/shelf/lots/{balance.lot_id}/"))
    assert "Something was found on the shelf" in body(warehouse.get("/goods-in/complaints/"))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"quantity": 0}, "0 tyres cannot be booked"),
        ({"quantity": -1}, "-1 tyres cannot be booked"),
        ({"quantity": 10**9}, "more than this shop can book at once"),
        ({"quantity": 5}, "4 of lot LOT-0140 are in A-01-2; 5 were asked for"),
        ({"quantity": "2.5"}, "Enter a whole number."),
        ({"lot": "NO"}, "“NO” was read, and the label of a lot is wanted."),
        ({"reason": "short"}, "short is not one of the available choices"),
        ({"says": ""}, "This field is required."),
        ({"supplier": ""}, "say which supplier it is from"),
        ({"place": "Q-1"}, "No lot LOT-0140 is in Q-1"),
    ],
)
def test_complaints_that_cannot_be(said, words, warehouse, balance):
    assert words in body(complain(warehouse, balance, **said), 400)
    assert not SupplierComplaint.objects.exists()


def test_a_lot_that_came_by_a_delivery_leads_to_it(warehouse):
    found = complaint()
    page = body(warehouse.get(f"/shelf/lots/{found.lot_id}/"))
    assert f'href="/goods-in/deliveries/{found.delivery_id}/"' in page
    assert f'href="/goods-in/complaints/{found.pk}/"' in page


@pytest.mark.parametrize(
    ("role", "looks", "complains"),
    [
        ("counter", 200, 403), ("warehouse", 200, 400), ("buyer", 200, 403), ("owner", 200, 400),
    ],
)  # fmt: skip
def test_who_may_do_what(role, looks, complains, signed_in, balance):
    client = signed_in(role)
    for at in ("", f"lots/{balance.lot_id}/", f"places/{balance.place_id}/"):
        assert client.get(f"/shelf/{at}").status_code == looks
    answer = client.post("/goods-in/complaints/new/", {"idempotency_key": "k"})
    assert answer.status_code == complains
    page = body(client.get(f"/shelf/lots/{balance.lot_id}/"))
    assert ("Complain of it" in page) is (complains == 400)
