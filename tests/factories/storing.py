"""Customers' tyres that are kept."""

from __future__ import annotations

from datetime import timedelta

import factory
from factory.django import DjangoModelFactory

from inventory.activities.storing import Brought, take_in
from inventory.models.storage import Storage, StorageExtension, StoredLot
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory
from tests.factories.when import AT, EARLIER, TODAY


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


def kept(quantity: int = 4, *, sku=None, **more) -> Storage:
    """Tyres of a customer that were taken in as people do; of a lot of their own."""
    brought = {name: more.pop(name) for name in ("date_code", "condition") if name in more}
    told = {"customer": None, "place": None, "due_on": TODAY, "by": None, "at": AT, **more}
    told["customer"] = told["customer"] or CustomerFactory()
    told["place"] = told["place"] or PlaceFactory()
    told["by"] = told["by"] or UserFactory()
    return take_in(tyres=[Brought(sku or SkuFactory(), quantity, **brought)], **told)


def storages(count: int) -> list[Storage]:
    """So many, each with a lot that was taken in and kept longer once."""
    lots = StoredLotFactory.create_batch(count)
    return [StorageExtensionFactory(storage=lot.storage).storage for lot in lots]
