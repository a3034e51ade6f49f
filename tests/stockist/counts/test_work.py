"""The page of work on tyres, and the same over the API."""

from __future__ import annotations

import pytest

from inventory.models.lot import Lot
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.support.calling import write

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    return stock_in(on_hand=5, lot=LotFactory(code="LOT-A"), place=PlaceFactory(code="A-01"))


def sent(client, **more):
    said = {
        "lot": "]d291LOT-A", "place": "A-01", "quantity": 2, "condition": "buffed",
        "buffed_to_mm": "4.5", "why": "For the wet.", "idempotency_key": "k", **more,
    }  # fmt: skip
    return client.post("/counts/work/", said)


def test_work_is_booked_and_listed(signed_in, balance):
    client = signed_in("warehouse")
    assert "None yet." in client.get("/counts/work/").content.decode()
    page = client.get(sent(client)["Location"]).content.decode()
    assert "✓ 2 of LOT-A are lot LOT-A.1 now: label them anew." in page
    assert "buffed to 4.5 mm" in page
    assert "It never goes back to new." in page


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"quantity": 6}, "6 were asked for"),
        ({"buffed_to_mm": ""}, "A buffed tyre says how many mm are left"),
        ({"condition": "new"}, "Select a valid choice"),
        ({"why": ""}, "This field is required"),
        ({"place": "LOT-A"}, "the label of a place is wanted"),
    ],
)
def test_what_cannot_be_booked(more, words, signed_in, balance):
    answer = sent(signed_in("warehouse"), **more)
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert Lot.objects.count() == 1


def test_the_counter_does_no_such_work(signed_in):
    assert sent(signed_in("counter")).status_code == 403


def test_over_the_api(api, balance):
    said = {
        "lot": balance.lot_id, "place": balance.place_id, "quantity": 1,
        "condition": "hand_cut", "why": "Cut for the wet.",
    }  # fmt: skip
    answer = write(api("warehouse"), "post", "work/", said)
    assert answer.status_code == 201, answer.content
    assert answer.json()["kind"] == "work"
    refused = write(api("warehouse"), "post", "work/", {**said, "condition": "new"})
    assert refused.json()["code"] == "never-new-again"
    assert write(api("counter"), "post", "work/", said).status_code == 403
