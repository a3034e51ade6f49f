"""Every address of stock under the API."""

from __future__ import annotations

from django.urls import URLPattern, path
from rest_framework.routers import BaseRouter

from inventory.api.alerts import AgeingAlerts, Alerts
from inventory.api.blocks import Blocks
from inventory.api.companions import Companions, Suppliers
from inventory.api.complaints import Complaints, Pictures
from inventory.api.consigning import Consignments, ConsignmentSteps
from inventory.api.counts import Counts, WriteOffs
from inventory.api.customers import CustomerCars, Customers
from inventory.api.deliveries import Deliveries, DeliveryLines
from inventory.api.demand import Demand
from inventory.api.despatches import Despatches, Returns
from inventory.api.enquiries import Enquiries
from inventory.api.expected import ExpectedDeliveries
from inventory.api.holds import Holds
from inventory.api.labels import LotLabels, PlaceLabels
from inventory.api.lots import Lots, Stock
from inventory.api.makers import Compounds, Patterns, TyreMakers
from inventory.api.markings import CompareSizes, ReadDateCode, ReadSize
from inventory.api.movements import Misreadings, Moves, Recounts, TakenBack
from inventory.api.orders import OrderLines, Orders
from inventory.api.outings import Outings
from inventory.api.picks import PickLines, PickLists
from inventory.api.places import Places, Sites
from inventory.api.postings import LedgerLines, Postings
from inventory.api.pricing import AgeSteps, PriceClasses
from inventory.api.purchase_orders import PurchaseLines, PurchaseOrders
from inventory.api.putting_away import PutAway
from inventory.api.quotes import PreOrders, Quotes
from inventory.api.seasons import Changes, EarlierMonths, Events, Lessons, Overrides, Pairs, Seasons
from inventory.api.skus import Gtins, Skus
from inventory.api.storing import Storages
from inventory.api.supplier_complaints import SupplierComplaints
from inventory.api.supplier_terms import Batches, TermsOfSuppliers
from inventory.api.transfers import Transfers
from inventory.api.work import Work

RESOURCES = {
    "tyre-makers": TyreMakers,
    "patterns": Patterns,
    "compounds": Compounds,
    "skus": Skus,
    "gtins": Gtins,
    "companions": Companions,
    "suppliers": Suppliers,
    "sites": Sites,
    "places": Places,
    "price-classes": PriceClasses,
    "age-steps": AgeSteps,
    "customers": Customers,
    "customer-cars": CustomerCars,
    "holds": Holds,
    "quotes": Quotes,
    "orders": Orders,
    "order-lines": OrderLines,
    "pre-orders": PreOrders,
    "pick-lists": PickLists,
    "pick-lines": PickLines,
    "despatches": Despatches,
    "returns": Returns,
    "complaints": Complaints,
    "complaint-pictures": Pictures,
    "lots": Lots,
    "stock": Stock,
    "postings": Postings,
    "ledger-lines": LedgerLines,
    "blocks": Blocks,
    "enquiries": Enquiries,
    "supplier-terms": TermsOfSuppliers,
    "production-batches": Batches,
    "purchase-orders": PurchaseOrders,
    "purchase-lines": PurchaseLines,
    "expected-deliveries": ExpectedDeliveries,
    "deliveries": Deliveries,
    "delivery-lines": DeliveryLines,
    "supplier-complaints": SupplierComplaints,
    "put-away": PutAway,
    "transfers": Transfers,
    "outings": Outings,
    "counts": Counts,
    "write-offs": WriteOffs,
    "work": Work,
    "seasons": Seasons,
    "lessons": Lessons,
    "events": Events,
    "season-changes": Changes,
    "earlier-sales": EarlierMonths,
    "sku-pairs": Pairs,
    "alerts": Alerts,
    "alert-overrides": Overrides,
    "ageing-alerts": AgeingAlerts,
    "storages": Storages,
    "consignments": Consignments,
    "consignment-steps": ConsignmentSteps,
    "moves": Moves,
    "corrections/taken-back": TakenBack,
    "corrections/recounts": Recounts,
    "corrections/misreadings": Misreadings,
}


def register(router: BaseRouter) -> None:
    """Give every resource its address."""
    for prefix, viewset in RESOURCES.items():
        router.register(prefix, viewset, basename=prefix.rpartition("/")[2])


urlpatterns: list[URLPattern] = [
    path("demand/", Demand.as_view(), name="demand"),
    path("sizes/read/", ReadSize.as_view(), name="read-size"),
    path("sizes/compare/", CompareSizes.as_view(), name="compare-sizes"),
    path("labels/lots/", LotLabels.as_view(), name="lot-labels"),
    path("labels/places/", PlaceLabels.as_view(), name="place-labels"),
    path("date-codes/read/", ReadDateCode.as_view(), name="read-date-code"),
]
