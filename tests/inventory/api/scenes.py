"""Rows of every resource of stock, made by the handful."""

from __future__ import annotations

from inventory.activities.receiving import enter_line
from inventory.models.delivery import DeliveryNoteLine
from tests.factories.buying import (
    DeliveryFactory,
    ExpectedDeliveryFactory,
    PriceBreakFactory,
    ProductionBatchFactory,
    PurchaseLineFactory,
    complaint,
    delivery_of,
    sent_order,
    transfer,
)
from tests.factories.catalogue import (
    CompanionFactory,
    CompoundFactory,
    GtinFactory,
    PatternFactory,
    SkuFactory,
    TypeApprovalFactory,
    TyreMakerFactory,
)
from tests.factories.consigning import ConsignedLotFactory, ConsignmentStepFactory
from tests.factories.counting import CountLineFactory, WriteOffFactory
from tests.factories.people import (
    CarWheelFactory,
    CustomerCarFactory,
    CustomerFactory,
    SupplierFactory,
)
from tests.factories.places import PlaceFactory, SiteFactory
from tests.factories.planning import (
    AgeingAlertFactory,
    AlertFactory,
    AlertOverrideFactory,
    EarlierSalesFactory,
    EventFactory,
    LearntFactory,
    SeasonChangeFactory,
    SeasonFactory,
    SkuPairFactory,
)
from tests.factories.selling import (
    AgeStepFactory,
    HoldExtensionFactory,
    OrderLineFactory,
    PreOrderLineFactory,
    PriceClassFactory,
    QuoteFactory,
    come_back,
    complaint_of,
    gone,
    picture_of,
)
from tests.factories.sending import Shop, held_set, packed
from tests.factories.stock import BlockFactory, EnquiryFactory, LotFactory, stock_in
from tests.factories.storing import storages
from tests.factories.vans import OutingFactory
from tests.factories.when import AT


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


def terms(count: int) -> None:
    for _ in range(count):
        PriceBreakFactory()


def batches(count: int) -> None:
    for batch in ProductionBatchFactory.create_batch(count):
        batch.skus.set(SkuFactory.create_batch(2))


def orders(count: int) -> None:
    for _ in range(count):
        sent_order(4, 2)


def deliveries(count: int) -> None:
    for delivery in DeliveryFactory.create_batch(count):
        DeliveryNoteLine.objects.create(delivery=delivery, sku=SkuFactory(), quantity=4)


def delivery_lines(count: int) -> None:
    for _ in range(count):
        delivery = delivery_of(sent_order(4))
        told = {"sku": delivery.order.lines.get().sku, "by": delivery.at_work_by, "at": AT}
        enter_line(delivery=delivery, date_code="3026", **told)


def complaints(count: int) -> None:
    for _ in range(count):
        complaint()


def transfers(count: int) -> None:
    for _ in range(count):
        transfer()


def holds(count: int) -> None:
    for _ in range(count):
        held_set()
    HoldExtensionFactory.create_batch(count)


def picks(count: int) -> None:
    for _ in range(count):
        shop, order, _, _ = held_set()
        packed(order, shop, order.made_by)


def despatches(count: int) -> None:
    shop = Shop()
    for _ in range(count):
        gone(shop)


def returns(count: int) -> None:
    shop = Shop()
    for _ in range(count):
        come_back(shop)


def customers_complaints(count: int) -> None:
    shop = Shop()
    for _ in range(count):
        picture_of(complaint_of(gone(shop).lines.get()))


ROWS = {
    "holds": holds,
    "quotes": QuoteFactory.create_batch,
    "orders": OrderLineFactory.create_batch,
    "order-lines": OrderLineFactory.create_batch,
    "pre-orders": PreOrderLineFactory.create_batch,
    "pick-lists": picks,
    "pick-lines": picks,
    "despatches": despatches,
    "returns": returns,
    "complaints": customers_complaints,
    "complaint-pictures": customers_complaints,
    "seasons": SeasonFactory.create_batch,
    "lessons": LearntFactory.create_batch,
    "events": EventFactory.create_batch,
    "season-changes": SeasonChangeFactory.create_batch,
    "earlier-sales": EarlierSalesFactory.create_batch,
    "sku-pairs": SkuPairFactory.create_batch,
    "alerts": AlertFactory.create_batch,
    "alert-overrides": AlertOverrideFactory.create_batch,
    "ageing-alerts": AgeingAlertFactory.create_batch,
    "supplier-terms": terms,
    "production-batches": batches,
    "purchase-orders": orders,
    "purchase-lines": PurchaseLineFactory.create_batch,
    "expected-deliveries": ExpectedDeliveryFactory.create_batch,
    "deliveries": deliveries,
    "delivery-lines": delivery_lines,
    "supplier-complaints": complaints,
    "transfers": transfers,
    "outings": OutingFactory.create_batch,
    "counts": CountLineFactory.create_batch,
    "storages": storages,
    "consignments": ConsignedLotFactory.create_batch,
    "consignment-steps": ConsignmentStepFactory.create_batch,
    "write-offs": WriteOffFactory.create_batch,
    "tyre-makers": TyreMakerFactory.create_batch,
    "patterns": PatternFactory.create_batch,
    "compounds": CompoundFactory.create_batch,
    "skus": skus,
    "gtins": gtins,
    "companions": CompanionFactory.create_batch,
    "suppliers": SupplierFactory.create_batch,
    "sites": SiteFactory.create_batch,
    "places": PlaceFactory.create_batch,
    "price-classes": PriceClassFactory.create_batch,
    "age-steps": AgeStepFactory.create_batch,
    "customers": CustomerFactory.create_batch,
    "customer-cars": cars,
    "lots": lots,
    "stock": stock,
    "postings": stock,
    "ledger-lines": stock,
    "blocks": BlockFactory.create_batch,
    "enquiries": EnquiryFactory.create_batch,
}
