"""Customers' tyres that are kept."""

from __future__ import annotations

from datetime import timedelta

import factory
from factory.django import DjangoModelFactory

from inventory.models.storage import Storage, StorageExtension, StoredLot
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


class StorageExtensionFactory(DjangoModelFactory):
    class Meta:
        model = StorageExtension

    storage = factory.SubFactory(StorageFactory)
    due_before = TODAY - timedelta(days=30)
    due_after = TODAY
    why = "The customer is away."
    extended_at = EARLIER
    extended_by = factory.SubFactory(UserFactory)


def storages(count: int) -> list[Storage]:
    """So many, each with a lot that was taken in and kept longer once."""
    lots = StoredLotFactory.create_batch(count)
    return [StorageExtensionFactory(storage=lot.storage).storage for lot in lots]
