"""The sheet that says which variant each customer's car is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fitments.activities.fittings import IDENTIFIED
from fitments.models.car import IdentifiedCar, Variant
from inventory.ground.entries.register import Values
from inventory.ground.sheets.columns import to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.models.customer import Customer, CustomerCar

_CUSTOMER = Reference(Customer, "customer", by="name")
_CAR = Reference(CustomerCar, "car", by="description", within=("customer", "customer"))


class IdentifiedCars(RegisterSheet):
    """One row a customer's car."""

    name = "identified-cars"
    title = "Identified cars"
    model = IdentifiedCar
    into = IDENTIFIED
    key = ("customer_car",)
    columns = (
        to("customer", "customer", _CUSTOMER, required=True, example="Orrin Tasker"),
        to("car", "customer_car", _CAR, required=True, example="Hallmere Sprint saloon"),
        to(
            "variant", "variant", Reference(Variant, "variant"), required=True, example="SPR-16-SAL"
        ),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """The customer only served to find the car."""
        return [{name: row.values[name] for name in ("customer_car", "variant")}]
