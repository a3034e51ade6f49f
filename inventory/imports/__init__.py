"""The sheets of stock, in the order in which they build on one another."""

from __future__ import annotations

from inventory.ground.sheets.sheet import Sheet
from inventory.imports.companions import Companions
from inventory.imports.compounds import Compounds
from inventory.imports.customer_cars import CustomerCars
from inventory.imports.customers import Customers
from inventory.imports.opening_stock import OpeningStock
from inventory.imports.patterns import Patterns
from inventory.imports.places import Places
from inventory.imports.production_batches import Batches
from inventory.imports.purchase_orders import PurchaseOrders
from inventory.imports.sales_history import SalesHistory
from inventory.imports.seasons import Events, Pairs, Seasons
from inventory.imports.sites import Sites
from inventory.imports.skus import Skus
from inventory.imports.supplier_terms import TermsOfSuppliers
from inventory.imports.suppliers import Suppliers
from inventory.imports.tyre_makers import TyreMakers

SHEETS: tuple[Sheet, ...] = (
    TyreMakers(),
    Patterns(),
    Compounds(),
    Skus(),
    Companions(),
    Suppliers(),
    Sites(),
    Places(),
    Customers(),
    CustomerCars(),
    OpeningStock(),
    TermsOfSuppliers(),
    Batches(),
    PurchaseOrders(),
    Pairs(),
    SalesHistory(),
    Seasons(),
    Events(),
)
