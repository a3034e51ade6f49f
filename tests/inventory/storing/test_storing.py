"""Customers' tyres: taken in as lots of their own, and what is not taken in."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError

from inventory.activities import storing
from inventory.activities.storing import Brought
from inventory.ground.refusal import Refusal
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.posting import Posting
from inventory.models.storage import Storage, StoredLot
from stockist.patrol.storing import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerCarFactory, CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.storing import StorageFactory, kept
from tests.factories.when import AT, TODAY

pytestmark = pytest.mark.django_db


def test_two_kinds_are_two_lots_of_one_storage():
    car = CustomerCarFactory()
    place, due_on = PlaceFactory(), TODAY + timedelta(days=100)
    tyres = [
        Brought(SkuFactory(), 2, "2423"), Brought(SkuFactory(), 2, "", "part_worn"),
    ]  # fmt: skip
    row = storing.take_in(
        customer=car.customer, tyres=tyres, place=place, due_on=due_on, car=car, note="Racks 3.",
        by=UserFactory(), at=AT,
    )  # fmt: skip
    lots = Lot.objects.order_by("code")
    assert [lot.code for lot in lots] == [f"{row.number}.1", f"{row.number}.2"]
    assert {lot.owner_customer for lot in lots} == {car.customer}
    assert [(lot.date_code, lot.condition) for lot in lots] == [
        ("2423", "fitted"), ("", "part_worn"),
    ]  # fmt: skip
    assert [(one.lot, one.on_hand) for one in storing.lying(row)] == [(lot, 2) for lot in lots]
    posting = Posting.objects.get()
    assert (posting.kind, posting.document, posting.recorded_by) == (
        "take_in",
        row.number,
        row.taken_in_by,
    )
    assert (row.car, row.due_on, row.note) == (car, due_on, "Racks 3.")


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"quantity": 0}, "0 tyres cannot be booked: say one or more"),
        ({"quantity": -1}, "-1 tyres cannot be booked: say one or more"),
        ({"quantity": 10**9}, "1,000,000,000 tyres are more than this shop can book"),
        ({"quantity": 2.5}, "2.5 is not a whole number of tyres"),
        ({"due_on": TODAY - timedelta(days=1)}, "2026-11-22 is past: say until when"),
        ({"due_on": date(2206, 1, 1)}, "more than 5 years ahead: look at the year again"),
        ({"date_code": "9923"}, "no week 99"),
        ({"date_code": "4826"}, "is still to come"),
        ({"condition": "mint"}, "mint"),
        ({"condition": "buffed"}, "buffed"),
        ({"note": "x" * 501}, "500"),
    ],
)
def test_what_is_not_taken_in(told, words):
    with pytest.raises(Refusal, match=words):
        kept(**told)
    assert not Storage.objects.exists()
    assert not Lot.objects.exists()


@pytest.mark.parametrize("kind", ["goods_in", "quarantine", "despatch", "in_transit"])
def test_only_a_storage_place_keeps(kind):
    with pytest.raises(Refusal, match="tyres are kept in a storage place"):
        kept(place=PlaceFactory(kind=kind))
    assert not Storage.objects.exists()


def test_a_place_that_is_full_and_somebody_looked():
    place = PlaceFactory(code="A-01", room=6)
    kept(place=place)
    with pytest.raises(Refusal, match="A-01 has room for 6 and holds 4: 3 more are 1 too many"):
        kept(3, place=place)
    assert kept(3, place=place, they_fit=True).number


def test_nothing_brought_and_another_customers_car():
    with pytest.raises(Refusal, match=r"is not one of .*'s\. Nothing was taken in"):
        kept(car=CustomerCarFactory())
    with pytest.raises(Refusal, match="Say which tyres were brought"):
        storing.take_in(
            customer=CustomerFactory(), tyres=[], place=PlaceFactory(), due_on=TODAY,
            by=UserFactory(), at=AT,
        )  # fmt: skip
    assert not Storage.objects.exists()


def test_the_database_wants_the_customers_own():
    with pytest.raises(IntegrityError, match="belongs to the customer"):
        StoredLot.objects.create(storage=StorageFactory(), lot=LotFactory(), quantity=1)


def test_nor_is_a_storage_given_to_another():
    row = kept()
    with pytest.raises(IntegrityError, match="belongs to the customer"):
        Storage.objects.filter(pk=row.pk).update(customer=CustomerFactory())


def test_the_patrol_finds_what_was_left():
    row = kept()
    assert not [fault for check in CHECKS for fault in check.look().faults]
    Storage.objects.update(ended_at=AT, ended_by=row.taken_in_by, handed_to="The owner")
    (fault,) = [fault for check in CHECKS for fault in check.look().faults]
    assert "4 of its tyres are still in the books" in fault
    assert Balance.objects.get().on_hand == 4
