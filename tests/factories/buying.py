"""Terms of suppliers, purchase orders, deliveries in hand, complaints and transfers.

What is further on than a draft or a fresh delivery is brought there by the activities.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from inventory.activities import purchasing, receiving, transferring
from inventory.activities.transferring import Load
from inventory.models.delivery import Delivery
from inventory.models.expected import ExpectedDelivery
from inventory.models.place import PlaceKind
from inventory.models.purchase import PurchaseLine, PurchaseOrder
from inventory.models.supplier_terms import PriceBreak, ProductionBatch, SupplierTerms
from tests.factories.catalogue import SkuFactory
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT, EARLIER, TODAY


class SupplierTermsFactory(DjangoModelFactory):
    class Meta:
        model = SupplierTerms

    supplier = factory.SubFactory(SupplierFactory)
    sku = factory.SubFactory(SkuFactory)
    minimum = 4
    pack = 2
    lead_time_days = 42
    lead_time_spread_days = 14
    oldest_months = 12


class PriceBreakFactory(DjangoModelFactory):
    class Meta:
        model = PriceBreak

    terms = factory.SubFactory(SupplierTermsFactory)
    from_quantity = 1
    unit_price = Decimal("112.00")


class ProductionBatchFactory(DjangoModelFactory):
    class Meta:
        model = ProductionBatch

    supplier = factory.SubFactory(SupplierFactory)
    code = factory.Sequence(lambda n: f"SPRING-{n}")
    order_by = date(2026, 12, 15)
    ready_on = date(2027, 3, 1)
    minimum_tyres = 40


class PurchaseOrderFactory(DjangoModelFactory):
    class Meta:
        model = PurchaseOrder

    supplier = factory.SubFactory(SupplierFactory)
    deliver_to = factory.SubFactory(SiteFactory)
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class PurchaseLineFactory(DjangoModelFactory):
    class Meta:
        model = PurchaseLine

    order = factory.SubFactory(PurchaseOrderFactory)
    sku = factory.SubFactory(SkuFactory)
    quantity = 10
    unit_price = Decimal("95.00")


class ExpectedDeliveryFactory(DjangoModelFactory):
    class Meta:
        model = ExpectedDelivery

    sku = factory.SubFactory(SkuFactory)
    quantity = 8
    expected_on = date(2027, 3, 1)
    first_expected_on = date(2027, 2, 1)
    reference = factory.Sequence(lambda n: f"PO-{90000 + n}")
    made_at = EARLIER
    made_by = factory.SubFactory(UserFactory)


class DeliveryFactory(DjangoModelFactory):
    """A delivery in hand, without lines."""

    class Meta:
        model = Delivery

    supplier = factory.SubFactory(SupplierFactory)
    note_number = factory.Sequence(lambda n: f"DN {n}")
    arrived_on = TODAY
    place = factory.SubFactory(PlaceFactory, goods_in=True)
    quarantine = factory.SubFactory(
        PlaceFactory, quarantine=True, site=factory.SelfAttribute("..place.site")
    )
    opened_at = EARLIER
    opened_by = factory.SubFactory(UserFactory)
    at_work_at = EARLIER
    at_work_by = factory.SelfAttribute("opened_by")


def goods_in_at(site=None):
    """A site's place for goods in; its quarantine is made with it."""
    site = site or SiteFactory()
    PlaceFactory(site=site, kind=PlaceKind.QUARANTINE)
    return PlaceFactory(site=site, kind=PlaceKind.GOODS_IN)


def sent_order(*quantities, skus=None, by=None, at=EARLIER, oldest_months=None, **fields):
    """An order that the supplier has, with a line of so many for each quantity."""
    by = by or UserFactory()
    order = PurchaseOrderFactory(made_by=by, **fields)
    skus = skus or SkuFactory.create_batch(len(quantities))
    for sku, quantity in zip(skus, quantities, strict=True):
        PurchaseLineFactory(order=order, sku=sku, quantity=quantity, oldest_months=oldest_months)
    return purchasing.send(order=order, agreed="Ottilie, by telephone", by=by, at=at)


def delivery_of(order=None, *, by=None, at=AT, place=None, **values):
    """A delivery in hand, of an order or of none."""
    values.setdefault("note_number", f"DN {Delivery.objects.count() + 1}")
    return receiving.open_delivery(
        supplier=order.supplier if order else values.pop("supplier", None) or SupplierFactory(),
        order=order,
        arrived_on=values.pop("arrived_on", TODAY),
        place=place or goods_in_at(),
        by=by or UserFactory(),
        at=at,
        **values,
    )


def complaint(*, quantity=2, by=None, **reading):
    """A complaint about tyres of a delivery that came damaged, unless a reading says else."""
    by = by or UserFactory()
    order = sent_order(10, by=by)
    delivery = delivery_of(order, by=by)
    (line,) = order.lines.all()
    told = {"found": "damaged", "date_code": "3026", **reading}
    receiving.enter_line(delivery=delivery, sku=line.sku, quantity=quantity, by=by, at=AT, **told)
    (found,) = receiving.finish(delivery=delivery, by=by, at=AT).complaints
    return found


def transfer(*, quantity=4, by=None):
    """Tyres on their way from one site to another."""
    by = by or UserFactory()
    balance = stock_in(on_hand=quantity + 2)
    site = balance.place.site
    PlaceFactory(site=site, in_transit=True)
    load = Load(balance.lot, balance.place, quantity)
    return transferring.send_off(from_site=site, to_site=SiteFactory(), loads=[load], by=by, at=AT)
