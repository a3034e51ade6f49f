"""Rows of every resource of stock, made by the handful."""

from __future__ import annotations

from tests.factories.catalogue import (
    CompanionFactory,
    CompoundFactory,
    GtinFactory,
    PatternFactory,
    SkuFactory,
    TypeApprovalFactory,
    TyreMakerFactory,
)
from tests.factories.people import (
    CarWheelFactory,
    CustomerCarFactory,
    CustomerFactory,
    SupplierFactory,
)
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.stock import BlockFactory, EnquiryFactory, LotFactory, stock_in


def skus(count: int) -> None:
    for sku in SkuFactory.create_batch(count, marked=True):
        GtinFactory(skus=[sku])
        TypeApprovalFactory(sku=sku)


def gtins(count: int) -> None:
    for _ in range(count):
        GtinFactory(skus=SkuFactory.create_batch(2))


def cars(count: int) -> None:
    for car in CustomerCarFactory.create_batch(count):
        CarWheelFactory(car=car)
        CarWheelFactory(car=car, rear=True)


def lots(count: int) -> None:
    for lot in LotFactory.create_batch(count):
        BlockFactory(lot=lot)
        stock_in(lot=lot)


def stock(count: int) -> None:
    for _ in range(count):
        stock_in()


ROWS = {
    "tyre-makers": TyreMakerFactory.create_batch,
    "patterns": PatternFactory.create_batch,
    "compounds": CompoundFactory.create_batch,
    "skus": skus,
    "gtins": gtins,
    "companions": CompanionFactory.create_batch,
    "suppliers": SupplierFactory.create_batch,
    "sites": SiteFactory.create_batch,
    "places": PlaceFactory.create_batch,
    "customers": CustomerFactory.create_batch,
    "customer-cars": cars,
    "lots": lots,
    "stock": stock,
    "postings": stock,
    "ledger-lines": stock,
    "blocks": BlockFactory.create_batch,
    "enquiries": EnquiryFactory.create_batch,
}
