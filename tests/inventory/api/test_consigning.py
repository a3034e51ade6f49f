"""Goods on consignment over the API: each write safe to repeat, each by whoever may."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models.consignment import Consignment, ConsignmentStep
from inventory.models.lot import Lot
from tests.factories.catalogue import SkuFactory
from tests.factories.consigning import consigned
from tests.factories.people import SupplierFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import stock_in
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def said():
    due = timezone.localdate() + timedelta(days=30)
    tyre = {"sku": SkuFactory().pk, "quantity": 4, "price": "80.00", "date_code": "1425"}
    return {
        "supplier": SupplierFactory().pk, "place": PlaceFactory().pk, "tyres": [tyre],
        "due_on": due.isoformat(), "reference": "THW 77",
    }  # fmt: skip


def test_taken_once_however_often_it_is_sent(api, said):
    tom = api("warehouse")
    first = write(tom, "post", "consignments/", said, key="one")
    assert write(tom, "post", "consignments/", said, key="one").json() == first.json()
    row = Consignment.objects.get()
    told = first.json()
    assert (first.status_code, told["left"], told["number"]) == (201, 4, row.number)
    assert first.headers["Location"].endswith(f"/consignments/{row.pk}/")
    assert told["lots"][0]["price"] == "80.00"
    refused(write(tom, "post", "consignments/", said | {"note": "x"}, key="one"), 422, "already")


@pytest.mark.parametrize(
    ("wrong", "status"),
    [
        ({"quantity": 0}, 400), ({"quantity": -1}, 400), ({"quantity": 10**9}, 400),
        ({"quantity": 2.5}, 400), ({"price": "0"}, 422), ({"price": "-1"}, 422),
        ({"date_code": "9999"}, 422), ({"colour": "black"}, 400),
    ],
)  # fmt: skip
def test_what_is_not_taken(api, said, wrong, status):
    said["tyres"][0] |= wrong
    refused(write(api("warehouse"), "post", "consignments/", said), status)
    assert not Consignment.objects.exists()


def test_not_for_a_day_that_is_past(api, said):
    said["due_on"] = (timezone.localdate() - timedelta(days=1)).isoformat()
    problem = write(api("warehouse"), "post", "consignments/", said)
    refused(problem, 400, "is past", pointer="/due_on")


def test_bought_in_by_the_buyer_and_given_back_by_the_warehouse(api):
    row, balance = consigned(4)
    part = {"lot": balance.lot_id, "place": balance.place_id, "quantity": 3}
    path = f"consignments/{row.pk}/"
    refused(write(api("warehouse"), "post", f"{path}buy-in/", {"parts": [part]}), 403)
    refused(write(api("counter"), "post", f"{path}give-back/", {"parts": [part]}), 403)
    buyer = api("buyer")
    for _ in range(2):
        answer = write(buyer, "post", f"{path}buy-in/", {"parts": [part]}, key="b")
    assert answer.json()["left"] == 1
    refused(write(buyer, "post", f"{path}buy-in/", {"parts": [part]}), 409, "1 of lot")
    last = {"parts": [part | {"quantity": 1}], "note": "By post."}
    assert write(api("warehouse"), "post", f"{path}give-back/", last).json()["left"] == 0
    (back, bought) = read(buyer, "consignment-steps/", consignment=row.pk)["results"]
    assert (back["kind"], back["into"], back["corrected"]) == ("given_back", None, False)
    assert (bought["into"], bought["unit_cost"]) == (Lot.objects.promised().get().pk, "80.00")
    assert [one["id"] for one in read(buyer, "consignments/", open="false")["results"]] == [row.pk]
    assert read(buyer, "consignments/", open="true")["results"] == []
    posting = {"posting": bought["posting"], "why": "Not after all."}
    assert write(api("owner"), "post", "corrections/taken-back/", posting).status_code == 201
    assert read(buyer, f"consignments/{row.pk}/")["left"] == 3
    assert read(buyer, f"consignment-steps/{bought['id']}/")["corrected"]


@pytest.mark.parametrize("quantity", [0, -1, 10**9, 2.5, 5])
@pytest.mark.parametrize("step", ["buy-in", "give-back"])
def test_not_so_many(api, step, quantity):
    row, balance = consigned(4)
    part = {"lot": balance.lot_id, "place": balance.place_id, "quantity": quantity}
    answer = write(api("owner"), "post", f"consignments/{row.pk}/{step}/", {"parts": [part]})
    refused(answer, 409 if quantity == 5 else 400)
    assert not ConsignmentStep.objects.exists()


def test_agreed_of_what_lies_here(api):
    balance = stock_in(on_hand=2, consigned=True)
    told = {"lots": [{"lot": balance.lot_id, "price": "70"}], "supplier": None}
    told |= {"supplier": balance.lot.owner_supplier_id, "due_on": timezone.localdate().isoformat()}
    refused(write(api("counter"), "post", "consignments/agree/", told), 403)
    answer = write(api("warehouse"), "post", "consignments/agree/", told)
    assert (answer.status_code, answer.json()["left"]) == (201, 2)
    assert answer.headers["Location"].endswith(f"/consignments/{answer.json()['id']}/")
