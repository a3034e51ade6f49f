"""The sheet of suppliers."""

from __future__ import annotations

from inventory.activities.cataloguing.suppliers import SUPPLIERS
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.supplier import Supplier


class Suppliers(RegisterSheet):
    """One row a supplier."""

    name = "suppliers"
    title = "Suppliers"
    model = Supplier
    into = SUPPLIERS
    key = ("code",)
    columns = (
        of(Supplier, "code", read=readers.code, example="OST"),
        of(Supplier, "name", example="Ostrey Rubber Trading"),
        of(Supplier, "email", example="orders@ostrey.example"),
        of(Supplier, "telephone", example="01632 960123"),
        of(Supplier, "note"),
    )
