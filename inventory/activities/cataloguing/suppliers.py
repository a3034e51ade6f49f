"""Whom the house buys from."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.register import Register
from inventory.models.supplier import Supplier

SUPPLIERS = Register(Supplier, key=("code",))


class SupplierValues(TypedDict, total=False):
    """What can be said of a supplier."""

    code: str
    name: str
    email: str
    telephone: str
    note: str


def make_supplier(*, by: User, at: datetime, **values: Unpack[SupplierValues]) -> Supplier:
    """Enter a supplier. Raises Faulty."""
    return SUPPLIERS.make(values, by=by, at=at)


def change_supplier(
    *, supplier: Supplier, by: User, at: datetime, **values: Unpack[SupplierValues]
) -> Supplier:
    """Change what is given of a supplier. Raises Faulty."""
    return SUPPLIERS.change(supplier, values, by=by, at=at)
