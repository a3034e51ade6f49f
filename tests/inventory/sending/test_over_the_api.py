"""Sending over the API: every step, sent twice and at once, refused in words."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models.despatch import Despatch
from inventory.models.lot import Lot
from inventory.models.pick import PickList
from inventory.models.posting import Posting, PostingKind
from inventory.models.returned import Return
from tests.factories.sending import figures, held_pieces, held_set, lines_of, packed, sent
from tests.support.calling import every_row, read, refused, write
from tests.support.concurrency import at_once
from tests.support.pdf_text import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def warehouse(api):
    return api("warehouse")


def gone():
    """Three pieces that left an hour ago: shop, lot, despatch."""
    shop, order, lot, _ = held_pieces(quantity=3, on_hand=3)
    return shop, lot, sent(order, shop, order.made_by, at=timezone.now() - timedelta(hours=1))


def back(line, place, quantity=1, condition="new", **more):
    told = {"line": line.pk, "quantity": quantity, "condition": condition, "place": place.pk}
    return {"despatch": line.despatch_id, "reason": "not_wanted", "lines": [told], **more}


def test_from_the_list_to_the_delivery_note(warehouse):
    shop, order, lot, _ = held_set(on_hand=4)
    made = write(warehouse, "post", "pick-lists/", {"order": order.pk, "to_place": shop.gather.pk})
    assert made.status_code == 201, made.content
    listed = made.json()["id"]
    for line in lines_of(PickList.objects.get(pk=listed)):
        taken = write(warehouse, "post", f"pick-lists/{listed}/pick/", {"line": line.pk})
        assert taken.status_code == 200, taken.content
    assert write(warehouse, "post", f"pick-lists/{listed}/pack/", {"parcels": 2}).status_code == 200
    (leaving,) = read(warehouse, f"pick-lists/{listed}/leaving/")
    assert "leave" in str(leaving)
    told = write(warehouse, "post", f"pick-lists/{listed}/send/", {"carrier": "Pell & Daughter"})
    assert told.status_code == 201, told.content
    found = read(warehouse, f"despatches/{told.json()['id']}/")
    assert (found["parcels"], found["carrier"]) == (2, "Pell & Daughter")
    assert [one["known"]["lot"] for one in found["lines"]] == [lot.code, lot.code]
    note = warehouse.get(f"/api/v1/despatches/{found['id']}/delivery-note/")
    assert note["Content-Type"] == "application/pdf"
    assert found["number"] in text_of(note.content)


def test_the_note_of_nothing_and_of_nobody(api, warehouse):
    refused(warehouse.get("/api/v1/despatches/99999/delivery-note/"), 404)
    refused(api(None).get("/api/v1/despatches/1/delivery-note/"), 401)


def test_against_advice_with_the_owners_word_only(api, warehouse):
    shop, order, *_ = held_set(date_code="1217")
    listed = packed(order, shop, order.made_by)
    path = f"pick-lists/{listed.pk}/"
    problem = refused(write(warehouse, "post", path + "send/"), 409, "owner's word only")
    assert problem["type"].endswith("/needs-a-word/")
    refused(write(warehouse, "post", path + "word/", {"why": "agreed"}), 403)
    assert write(api("owner"), "post", path + "word/", {"why": "agreed"}).status_code == 200
    assert write(warehouse, "post", path + "send/").json()["word_why"] == "agreed"


def test_a_return_is_booked_in_once(warehouse):
    shop, _, despatch = gone()
    body = back(despatch.lines.get(), shop.racks[1], 2, "fitted")
    first = write(warehouse, "post", "returns/", body, key="r-1")
    again = write(warehouse, "post", "returns/", body, key="r-1")
    assert (first.status_code, again.json()) == (201, first.json())
    assert Return.objects.count() == 1
    (line,) = first.json()["lines"]
    assert figures(Lot.objects.get(pk=line["into_lot"]), shop.racks[1]) == (2, 0)
    other = write(warehouse, "post", "returns/", {**body, "reason": "faulty"}, key="r-1")
    assert other.status_code in (409, 422)
    (row,) = every_row(warehouse, "returns/", despatch=despatch.pk)
    assert row["id"] == first.json()["id"]


@pytest.mark.parametrize(
    ("quantity", "status", "words"),
    [
        (0, 400, "say one or more"),
        (-1, 400, "say one or more"),
        (10**9, 400, "more than this shop can book"),
        (4, 409, "4 cannot have come back"),
    ],
)
def test_a_quantity_that_cannot_be(warehouse, quantity, status, words):
    shop, lot, despatch = gone()
    body = back(despatch.lines.get(), shop.racks[0], quantity)
    refused(write(warehouse, "post", "returns/", body), status, words)
    assert figures(lot, shop.racks[0]) == (0, 0)


def test_a_half_tyre_and_a_place_for_despatch(warehouse):
    shop, _, despatch = gone()
    line = despatch.lines.get()
    refused(write(warehouse, "post", "returns/", back(line, shop.racks[0], 2.5)), 400)
    refused(write(warehouse, "post", "returns/", back(line, shop.gather)), 400, "name a place")


def test_a_complaint_to_its_answer(api, warehouse):
    _, _, despatch = gone()
    counter, line = api("counter"), despatch.lines.get()
    said = {"despatch_line": line.pk, "quantity": 2, "says": "cracks", "tread_left_mm": "5.5"}
    made = write(counter, "post", "complaints/", said)
    assert made.status_code == 201, made.content
    path = f"complaints/{made.json()['id']}/"
    refused(write(counter, "post", path + "to-maker/"), 400, "From whom lot")
    answer = {"outcome": "credited", "answer": "The maker pays."}
    assert write(counter, "post", path + "close/", answer).json()["state"] == "closed"
    refused(write(counter, "post", path + "close/", answer), 409, "was closed on")
    assert len(every_row(counter, "complaints/", state="closed", lot=line.lot_id)) == 1
    refused(write(counter, "post", "complaints/", {**said, "quantity": 4}), 400, "3 of lot")


@pytest.mark.django_db(transaction=True)
def test_the_same_request_twice_at_once_sends_once(api):
    shop, order, lot, _ = held_set(on_hand=6)
    listed = packed(order, shop, order.made_by)
    callers = [api("warehouse") for _ in range(3)]

    def send(caller):
        return lambda: write(caller, "post", f"pick-lists/{listed.pk}/send/", key="s-1")

    answers = at_once(*[send(caller) for caller in callers])
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.json()["id"] for answer in answers}) == 1
    assert Despatch.objects.count() == 1
    assert Posting.objects.filter(kind=PostingKind.DESPATCH).count() == 1
    assert figures(lot, shop.racks[0]) == (2, 0)
