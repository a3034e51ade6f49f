"""Every model of the app, so that Django finds it. Code imports each from its own module."""

from inventory.models import (
    balance,
    companion,
    customer,
    enquiry,
    lot,
    maker,
    place,
    posting,
    sku,
    supplier,
)

__all__ = [
    "balance",
    "companion",
    "customer",
    "enquiry",
    "lot",
    "maker",
    "place",
    "posting",
    "sku",
    "supplier",
]
