"""Saying what there is: makers, patterns, SKUs, suppliers, places, customers and their cars."""

from inventory.activities.cataloguing.companions import change_companion, make_companion
from inventory.activities.cataloguing.customers import (
    change_car,
    change_customer,
    make_car,
    make_customer,
)
from inventory.activities.cataloguing.makers import (
    change_compound,
    change_pattern,
    change_tyre_maker,
    make_compound,
    make_pattern,
    make_tyre_maker,
)
from inventory.activities.cataloguing.places import change_place, change_site, make_place, make_site
from inventory.activities.cataloguing.pricing import (
    change_age_step,
    change_price_class,
    make_age_step,
    make_price_class,
)
from inventory.activities.cataloguing.skus import change_sku, make_sku
from inventory.activities.cataloguing.suppliers import change_supplier, make_supplier

__all__ = [
    "change_age_step",
    "change_car",
    "change_companion",
    "change_compound",
    "change_customer",
    "change_pattern",
    "change_place",
    "change_price_class",
    "change_site",
    "change_sku",
    "change_supplier",
    "change_tyre_maker",
    "make_age_step",
    "make_car",
    "make_companion",
    "make_compound",
    "make_customer",
    "make_pattern",
    "make_place",
    "make_price_class",
    "make_site",
    "make_sku",
    "make_supplier",
    "make_tyre_maker",
]
