"""A transfer booked in at the page: scanned, taken up by another person, ended short."""

from __future__ import annotations

import pytest

from inventory.activities import transferring
from inventory.models.balance import Balance
from inventory.models.transfer import Transfer
from inventory.models.write_off import WriteOff
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(signed_in):
    return signed_in("warehouse")


@pytest.fixture
def sent():
    """Nine tyres of LOT-1 on the way to a store with the racks K-01 and K-02."""
    lies = stock_in(lot=LotFactory(code="LOT-1"), place=PlaceFactory(code="A-01"), on_hand=10)
    PlaceFactory(site=lies.place.site, in_transit=True, code="ROAD-1")
    store = SiteFactory(name="Staithe store")
    PlaceFactory(site=store, code="K-01", room=20)
    PlaceFactory(site=store, code="K-02", room=4)
    load = transferring.Load(lies.lot, lies.place, 9)
    return transferring.send_off(
        from_site=lies.place.site, to_site=store, loads=[load], by=UserFactory(), at=AT
    )


def body(answer, status=200):
    assert answer.status_code == status, answer.content.decode()[:3000]
    return answer.content.decode()


def do(client, sent, step="scan", key="k", **said):
    path = f"/goods-in/transfers/{sent.pk}/{step}/"
    return client.post(path, {"idempotency_key": key, **said})


def test_a_scan_books_in_and_the_place_stays(warehouse, sent):
    page = body(warehouse.get(f"/goods-in/transfers/{sent.pk}/"))
    assert "best into <strong>K-01</strong>" in page
    answer = do(warehouse, sent, scanned="lot-1", place="k-01", quantity=3)
    assert answer["Location"] == f"/goods-in/transfers/{sent.pk}/?place=K-01"
    page = body(warehouse.get(answer["Location"]))
    assert "✓ 3 of LOT-1 into K-01; 6 still to come." in page
    assert 'value="K-01"' in page
    page = body(warehouse.get(do(warehouse, sent, key="2", scanned="LOT-1", place="K-01").url))
    assert "✓ 6 of LOT-1 into K-01; all of it is told." in page
    assert "Scan the tyre" not in page


def test_the_label_of_a_place_says_where_to_put_what_follows(warehouse, sent):
    answer = do(warehouse, sent, scanned="K-02", place="K-01")
    page = body(warehouse.get(answer["Location"]))
    assert "From now on into K-02." in page
    assert 'value="K-02"' in page
    assert not Balance.objects.filter(place__site=sent.to_site).exists()


def test_the_same_form_sent_twice_books_once(warehouse, sent):
    for _ in range(2):
        assert do(warehouse, sent, scanned="LOT-1", place="K-01", quantity=2).status_code == 302
    assert sent.lines.get().arrived == 2


@pytest.mark.parametrize(
    ("said", "status", "words"),
    [
        ({"scanned": "NO-SUCH"}, 400, "“NO-SUCH” was read, and the label of a lot on T-"),
        ({"scanned": "A-01"}, 400, "That is place A-01."),
        ({"place": "LOT-1"}, 400, "“LOT-1” was read, and the label of a place is wanted."),
        ({"place": "A-01"}, 400, "A-01 is at"),
        ({"place": "ROAD-1"}, 400, "ROAD-1 is at"),
        ({"place": "K-02"}, 409, "K-02 has room for 4 and holds 0"),
        ({"place": ""}, 400, "This field is required."),
        ({"quantity": "0"}, 400, "0 tyres cannot be booked"),
        ({"quantity": "-1"}, 400, "-1 tyres cannot be booked"),
        ({"quantity": "2.5"}, 400, "Enter a whole number."),
        ({"quantity": str(10**9)}, 400, "1,000,000,000 tyres are more than this shop"),
        ({"quantity": "10"}, 409, "9 of lot LOT-1 are on the way"),
    ],
)
def test_a_wrong_scan_is_told_and_heard(said, status, words, warehouse, sent):
    page = body(do(warehouse, sent, **{"scanned": "LOT-1", "place": "K-01", **said}), status)
    assert words in page
    assert 'data-sound="wrong"' in page
    assert Transfer.objects.get().state == "on_the_way"


def test_a_tyre_that_was_not_on_it_is_told_what_to_do_with(warehouse, sent):
    stock_in(lot=LotFactory(code="LOT-9"), place=PlaceFactory(site=sent.from_site, code="A-02"))
    page = body(do(warehouse, sent, scanned="LOT-9", place="K-01"), 409)
    assert f"Lot LOT-9 is not on {sent.number}. The books have 4 of it in A-02" in page


def test_another_person_takes_it_up(warehouse, sent, signed_in):
    do(warehouse, sent, scanned="LOT-1", place="K-01", quantity=1)
    owner = signed_in("owner")
    page = body(owner.get(f"/goods-in/transfers/{sent.pk}/"))
    assert "warehouse has it in hand" in page
    assert "Scan the tyre" not in page
    refused = body(do(owner, sent, scanned="LOT-1", place="K-01"), 409)
    assert "What was booked in so far is kept" in refused
    assert "Scan the tyre" in body(owner.get(do(owner, sent, "take-up", key="2").url))
    page = body(do(warehouse, sent, key="3", scanned="LOT-1", place="K-01"), 409)
    assert "owner is booking" in page


def test_few_missing_are_written_off_and_many_wait_for_another(warehouse, sent, signed_in):
    do(warehouse, sent, scanned="LOT-1", place="K-01", quantity=3)
    page = body(do(warehouse, sent, "end", key="2", reason="left_behind"), 400)
    assert "Say in which place of" in page
    page = body(warehouse.get(do(warehouse, sent, "end", key="3", reason="lost").url))
    row = WriteOff.objects.get()
    assert "waits for another person" in page
    assert f"{row.number}</a>: 6 of LOT-1, lost or stolen, wait for another person." in page
    page = body(warehouse.get(f"/counts/write-offs/{row.pk}/"))
    assert f'href="/goods-in/transfers/{sent.pk}/"' in page
    owner = signed_in("owner")
    body(owner.post(f"/counts/write-offs/{row.pk}/pass/", {"idempotency_key": "4"}, follow=True))
    page = body(owner.get(f"/goods-in/transfers/{sent.pk}/"))
    assert "! arrived short" in page
    assert "! Lost or stolen." in page


def test_what_was_left_behind_goes_back(warehouse, sent):
    said = {"reason": "left_behind", "found_in": "A-01", "why": "Still in the rack."}
    page = body(warehouse.get(do(warehouse, sent, "end", **said).url))
    assert "has arrived short, and says why" in page
    assert Balance.objects.get(place__code="A-01").on_hand == 10
