"""Customers' tyres over the API: taken in, kept longer, handed back, each safe to repeat."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.storage import Storage, StorageExtension
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerCarFactory
from tests.factories.places import PlaceFactory
from tests.support.calling import read, refused, write

pytestmark = pytest.mark.django_db
FOUR = {"quantity": 4, "date_code": "2423"}


@pytest.fixture
def client(api):
    return api("warehouse")


def day(after):
    return (timezone.localdate() + timedelta(days=after)).isoformat()


@pytest.fixture
def said():
    """A customer's four tyres off their car, to be kept for ninety days."""
    car = CustomerCarFactory()
    return {
        "customer": car.customer_id, "car": car.pk, "place": PlaceFactory().pk,
        "due_on": day(90), "note": "On the top shelf.", "tyres": [{"sku": SkuFactory().pk, **FOUR}],
    }  # fmt: skip


@pytest.fixture
def stored(client, said):
    return write(client, "post", "storages/", said).json()


def step(client, stored, name, status=200, key="", **body):
    answer = write(client, "post", f"storages/{stored['id']}/{name}/", body, key=key)
    assert answer.status_code == status, answer.content
    return answer.json()


def test_taken_in_once_however_often_it_is_sent(client, said):
    first = write(client, "post", "storages/", said, key="one")
    again = write(client, "post", "storages/", said, key="one")
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert again.headers["Idempotency-Replayed"] == "true"
    row, lot = Storage.objects.get(), Lot.objects.get()
    assert first.headers["Location"].endswith(f"/storages/{row.pk}/")
    told = first.json()
    assert (told["number"], told["due_on"], told["taken_in_by"]) == (
        row.number,
        day(90),
        "warehouse",
    )
    assert told["lots"] == [{"lot": lot.pk, "lot_code": f"{row.number}.1", "quantity": 4}]
    assert (lot.owner_customer_id, lot.condition, lot.date_code) == (
        said["customer"], "fitted", "2423",
    )  # fmt: skip
    assert Balance.objects.get().on_hand == 4
    refused(
        write(client, "post", "storages/", said | {"note": "Other."}, key="one"), 422, "already"
    )


@pytest.mark.parametrize(
    ("wrong", "pointer", "words"),
    [
        ({"tyres": []}, "/tyres", "empty"),
        ({"tyres": [{"sku": 0, "quantity": 4}]}, "/tyres/0/sku", "does not exist"),
        ({"customer": 0}, "/customer", "does not exist"),
        ({"place": 0}, "/place", "does not exist"),
        ({"due_on": "tomorrow"}, "/due_on", "YYYY-MM-DD"),
        ({"due_on": day(-1)}, "/due_on", "is past"),
        ({"due_on": "2226-01-01"}, "/due_on", "look at the year again"),
        ({"colour": "black"}, "/colour", "There is no field"),
    ],
)
def test_what_is_not_taken_in(client, said, wrong, pointer, words):
    problem = refused(write(client, "post", "storages/", said | wrong), 400, pointer=pointer)
    assert words in str(problem["errors"])
    assert not Storage.objects.exists()
    assert not Lot.objects.exists()


@pytest.mark.parametrize(
    ("quantity", "words"),
    [(0, "say one or more"), (-1, "say one or more"), (10**9, "look at the number again"),
     (10**30, "look at the number again"), ("some", "valid integer")],
)  # fmt: skip
def test_so_many_are_never_brought(client, said, quantity, words):
    said["tyres"][0]["quantity"] = quantity
    problem = refused(write(client, "post", "storages/", said), 400)
    assert words in str(problem)
    assert not Storage.objects.exists()


def test_another_customers_car_and_a_week_that_never_was(client, said):
    other = said | {"car": CustomerCarFactory().pk}
    refused(write(client, "post", "storages/", other), 400, "is not one of", pointer="/car")
    said["tyres"][0]["date_code"] = "9923"
    refused(write(client, "post", "storages/", said), 422, "no week 99", pointer="/date_code")
    assert not Storage.objects.exists()


def test_kept_longer_and_why(client, stored):
    for _ in range(2):
        told = step(client, stored, "keep-longer", key="k", due_on=day(120), why="Away in spring.")
    (longer,) = told["extensions"]
    assert told["due_on"] == day(120)
    assert (longer["due_before"], longer["due_after"]) == (day(90), day(120))
    assert (longer["why"], longer["extended_by"]) == ("Away in spring.", "warehouse")
    for until, why, words in (
        (day(120), "Again.", "as it is: say a later day"),
        (day(-1), "Again.", "is past"),
        (day(4000), "Again.", "look at the year again"),
        (day(130), "", "blank"),
    ):
        problem = step(client, stored, "keep-longer", 400, due_on=until, why=why)
        assert words in str(problem)
    assert StorageExtension.objects.count() == 1


def test_handed_back_once(client, stored):
    for _ in range(2):
        told = step(client, stored, "hand-back", key="h", handed_to="The owner's son")
    assert (told["handed_to"], told["ended_by"]) == ("The owner's son", "warehouse")
    assert Balance.objects.get().on_hand == 0
    assert "blank" in str(step(client, stored, "hand-back", 400, handed_to=" "))
    for name, body in (
        ("hand-back", {"handed_to": "Somebody"}),
        ("keep-longer", {"due_on": day(200), "why": "It snows."}),
    ):
        problem = step(client, stored, name, 409, **body)
        assert "was handed to The owner's son by warehouse" in problem["detail"]


def test_who_may_not_is_told_so(api, stored):
    buyer = api("buyer")
    assert read(buyer, "storages/")["results"][0]["id"] == stored["id"]
    assert step(buyer, stored, "hand-back", 403, handed_to="Somebody")["detail"]
    assert step(buyer, stored, "keep-longer", 403, due_on=day(200), why="It snows.")["detail"]


def test_what_is_kept_is_found(client, stored):
    def found(**asked):
        return [one["id"] for one in read(client, "storages/", **asked)["results"]]

    assert found(kept="true", customer=stored["customer"]) == [stored["id"]]
    assert found(due_before=day(91)) == [stored["id"]]
    assert found(due_before=day(90)) == found(kept="false") == []
