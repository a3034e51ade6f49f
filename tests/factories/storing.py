"""Customers' tyres that are kept."""

from __future__ import annotations

import factory
from factory.django import DjangoModelFactory

from inventory.models.storage import Storage, StoredLot
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.stock import LotFactory
from tests.factories.when import EARLIER, TODAY


class StorageFactory(DjangoModelFactory):
    class Meta:
        model = Storage

    customer = factory.SubFactory(CustomerFactory)
    due_on = TODAY
    taken_in_at = EARLIER
    taken_in_by = factory.SubFactory(UserFactory)


class StoredLotFactory(DjangoModelFactory):
    class Meta:
        model = StoredLot

    storage = factory.SubFactory(StorageFactory)
    lot = factory.SubFactory(
        LotFactory, owner="customer", owner_customer=factory.SelfAttribute("..storage.customer")
    )
    quantity = 4
