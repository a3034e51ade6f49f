"""Customers' tyres: taken in, never promised, handed back once from wherever they lie."""

from __future__ import annotations

from datetime import timedelta
from functools import partial

import pytest
from django.db import IntegrityError

from inventory.activities import storing
from inventory.activities.storing import Brought, HandedBackAlready
from inventory.ground.refusal import Refusal
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.storage import Storage, StoredLot
from stockist.patrol.storing import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.storing import StorageFactory
from tests.factories.when import AT, TODAY
from tests.support.concurrency import at_once


def taken(quantity=4, **more):
    told = {"customer": CustomerFactory(), "place": PlaceFactory(), "due_on": TODAY, **more}
    brought = [Brought(SkuFactory(), quantity)]
    return storing.take_in(tyres=brought, by=UserFactory(), at=AT, **told)


@pytest.mark.django_db
def test_taken_in_and_handed_back():
    row = taken()
    lot = Lot.objects.get()
    assert (lot.owner_customer, Balance.objects.get().on_hand) == (row.customer, 4)
    assert not Lot.objects.promised().exists()
    done = storing.hand_back(storage=row, handed_to="The owner", by=UserFactory(), at=AT)
    assert (done.handed_to, Balance.objects.get().on_hand) == ("The owner", 0)
    assert not [fault for check in CHECKS for fault in check.look().faults]


@pytest.mark.django_db
def test_the_patrol_finds_what_was_left():
    row = taken()
    Storage.objects.update(ended_at=AT, ended_by=row.taken_in_by, handed_to="The owner")
    (fault,) = [fault for check in CHECKS for fault in check.look().faults]
    assert "4 of its tyres are still in the books" in fault


@pytest.mark.django_db
@pytest.mark.parametrize("quantity", [0, -1, 10**12])
def test_not_so_many(quantity):
    with pytest.raises(Refusal):
        taken(quantity)
    assert not Storage.objects.exists()


@pytest.mark.django_db
def test_where_and_until_when():
    with pytest.raises(Refusal, match="kept in a storage place"):
        taken(place=PlaceFactory(kind="goods_in"))
    with pytest.raises(Refusal, match="is past"):
        taken(due_on=TODAY - timedelta(days=1))
    assert not Storage.objects.exists()


@pytest.mark.django_db
def test_the_database_wants_the_customers_own():
    with pytest.raises(IntegrityError, match="belongs to the customer"):
        StoredLot.objects.create(storage=StorageFactory(), lot=LotFactory(), quantity=1)


@pytest.mark.django_db(transaction=True)
def test_handed_back_twice_at_once():
    row, by = taken(), UserFactory()
    call = partial(storing.hand_back, storage=row, handed_to="The owner", by=by, at=AT)
    answers = at_once(call, call)
    assert sum(isinstance(one, Storage) for one in answers) == 1
    assert sum(isinstance(one, HandedBackAlready) for one in answers) == 1
    assert Balance.objects.get().on_hand == 0
