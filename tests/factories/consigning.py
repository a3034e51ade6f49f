"""Goods on consignment."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.activities.consigning import Consigned, take
from inventory.models.balance import Balance
from inventory.models.consignment import ConsignedLot, Consignment, ConsignmentStep, StepKind
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, PostingFactory
from tests.factories.when import AT, EARLIER, TODAY

DUE = TODAY + timedelta(days=60)


class ConsignmentFactory(DjangoModelFactory):
    class Meta:
        model = Consignment

    supplier = factory.SubFactory(SupplierFactory)
    due_on = DUE
    taken_at = EARLIER
    taken_by = factory.SubFactory(UserFactory)


class ConsignedLotFactory(DjangoModelFactory):
    class Meta:
        model = ConsignedLot

    consignment = factory.SubFactory(ConsignmentFactory)
    lot = factory.SubFactory(
        LotFactory, owner="supplier",
        owner_supplier=factory.SelfAttribute("..consignment.supplier"),
    )  # fmt: skip
    quantity = 4
    price = Decimal("80.00")


class ConsignmentStepFactory(DjangoModelFactory):
    """Two tyres given back."""

    class Meta:
        model = ConsignmentStep

    consignment = factory.SubFactory(ConsignmentFactory)
    kind = StepKind.GIVEN_BACK
    lot = factory.SubFactory(
        LotFactory, owner="supplier",
        owner_supplier=factory.SelfAttribute("..consignment.supplier"),
    )  # fmt: skip
    place = factory.SubFactory(PlaceFactory)
    quantity = 2
    posting = factory.SubFactory(PostingFactory)
    done_at = AT
    done_by = factory.SubFactory(UserFactory)


def consigned(quantity=4, **more):
    """A consignment of so many tyres, taken by the activity; it and the balance of its lot."""
    said = {"price": Decimal("80.00"), "date_code": "3026"}
    said |= {name: more.pop(name) for name in ("price", "date_code", "mark") if name in more}
    tyres = [Consigned(more.pop("sku", None) or SkuFactory(), quantity, **said)]
    told = {"supplier": SupplierFactory, "place": PlaceFactory, "by": UserFactory}
    made = {name: make() for name, make in told.items() if name not in more}
    row = take(tyres=tyres, at=AT, **{"due_on": DUE, **made, **more})
    return row, Balance.objects.get(lot__consigned__consignment=row)
