"""The sheet of customers' cars, with the wheels and tyres that are on them now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from inventory.activities.cataloguing.customers import CARS
from inventory.ground.entries.register import Values
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import Shift
from inventory.imports.date_codes import shifted_code
from inventory.markings.datecode import UnreadableDateCode, read_date_code
from inventory.models.customer import Axle, CarWheel, Customer, CustomerCar
from inventory.models.sku import Sku

_CUSTOMER = Reference(Customer, "customer", by="name")
_TYRE = Reference(Sku, "SKU")
_OWN = ("customer", "description", "plate", "chassis", "built_on")
_OF_AXLE = ("rim_text", "width_in", "tyre", "date_code")
_OF_BOTH = ("rim_kind", "tubed")


def _axle_columns(axle: str, rim: str, width: str) -> tuple[Column, ...]:
    return (
        Column(f"{axle} rim", f"{axle}.rim_text", readers.code, example=rim, wanted="15, or 380"),
        Column(
            f"{axle} rim width in", f"{axle}.width_in", readers.number, absent=None, example=width
        ),
    )


def _tyre_columns(axle: str) -> tuple[Column, ...]:
    return (
        to(f"{axle} tyre", f"{axle}.tyre", _TYRE, wanted="the SKU that is on it now"),
        Column(
            f"{axle} date code", f"{axle}.date_code", readers.figures(3), wanted="as it is moulded"
        ),
    )


class CustomerCars(RegisterSheet):
    """One row a car. Which variant it is, is said by the sheet of identified cars."""

    name = "customer-cars"
    title = "Customers' cars"
    model = CustomerCar
    into = CARS
    key = ("customer", "description")
    columns = (
        to("customer", "customer", _CUSTOMER, required=True, example="Orrin Tasker"),
        of(CustomerCar, "description", heading="car", example="Hallmere Sprint saloon"),
        of(CustomerCar, "plate", example="XHM 12"),
        of(CustomerCar, "chassis", heading="chassis", example="HS00412"),
        of(CustomerCar, "built_on", example="1964-06-12"),
        *_axle_columns("front", "15", "5"),
        *_axle_columns("rear", "15", "5.5"),
        of(CarWheel, "rim_kind", heading="rim", example="spoked"),
        of(CarWheel, "tubed", heading="tubed", required=False, example="yes"),
        *_tyre_columns("front"),
        *_tyre_columns("rear"),
    )

    def shifted(self, row: SheetRow, shift: Shift) -> None:
        """The tyres on a car stay as old as they were on the day the sheet was written for."""
        for name in (f"{axle}.date_code" for axle in Axle.values):
            if row.values.get(name) and shift.as_of:
                row.values[name] = shifted_code(row.values[name], shift.as_of, shift)

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """The car's own values, and those of the wheels of each axle that the sheet has."""
        values: dict[str, Any] = {name: row.values[name] for name in _OWN if name in row.values}
        for axle in Axle.values:
            if f"{axle}.rim_text" in row.values:
                values[axle] = self._wheel(row, axle, report, on)
        return [values]

    def _wheel(self, row: SheetRow, axle: str, report: Report, on: date) -> dict[str, Any] | None:
        told = {name: row.values.get(f"{axle}.{name}") for name in _OF_AXLE}
        wheel = {name: value for name, value in told.items() if value not in (None, "")}
        if not wheel:
            return None
        if "rim_text" not in wheel:
            report(row.number, f"{axle} rim", "the rim is needed, to say what is on it.")
            return None
        if "date_code" in wheel:
            try:
                read_date_code(wheel["date_code"], on)
            except UnreadableDateCode as error:
                report(row.number, f"{axle} date code", str(error))
        return wheel | {name: row.values[name] for name in _OF_BOTH if name in row.values}
