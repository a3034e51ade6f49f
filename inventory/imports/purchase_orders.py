"""The sheet of purchase orders that a house brings with it, sent already or still drafts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities import purchasing
from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.rules import broken_rules
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.sheet import Outcome, Plan, Sheet
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.models.place import Site
from inventory.models.purchase import PurchaseLine, PurchaseOrder
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch

_OF_THE_ORDER = ("deliver_to", "batch", "currency", "sent")
_OF_A_LINE = ("unit_price", "expected_on")
BEFORE = "sent before it was entered here"


@dataclass
class Orders(Plan):
    """Orders as they will be: the rows of each, by supplier and name."""

    orders: dict[tuple[int, str], list[dict[str, Any]]]
    outcome: Outcome = field(default_factory=Outcome)

    def write(self, *, by: User, at: datetime) -> None:
        """Draft each order with its lines, and send those that were sent."""
        for (_, name), rows in self.orders.items():
            _entered(name, rows, by=by, at=at)


def _entered(name: str, rows: list[dict[str, Any]], *, by: User, at: datetime) -> None:
    first = rows[0]
    head = {key: first[key] for key in ("deliver_to", "batch", "currency")}
    note = f"Entered from a spreadsheet as {name}."
    order = purchasing.draft(supplier=first["supplier"], note=note, by=by, at=at, **head)
    for row in rows:
        told = {key: row[key] for key in _OF_A_LINE if row[key] is not None}
        purchasing.set_line(
            order=order, sku=row["sku"], quantity=row["quantity"], by=by, at=at, **told
        )
    if first["sent"]:
        purchasing.send(order=order, agreed=BEFORE, by=by, at=at)


class PurchaseOrders(Sheet):
    """One row an order line; rows of one supplier and order name are one order. Booked once."""

    name = "purchase-orders"
    title = "Purchase orders"
    model = PurchaseOrder
    key = ("supplier", "order", "sku")
    once = True
    columns = (
        Column("order", "order", readers.code, required=True, example="2026-118"),
        to("supplier", "supplier", Reference(Supplier, "supplier"), required=True, example="OST"),
        to("deliver to", "deliver_to", Reference(Site, "site"), required=True, example="MAIN"),
        to(
            "batch",
            "batch",
            Reference(ProductionBatch, "batch", within=("supplier", "supplier")),
            wanted="a batch of this supplier, if it is ordered into one",
        ),
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        of(PurchaseLine, "quantity", heading="quantity", example="24"),
        of(PurchaseLine, "unit_price", heading="unit price", example="95.00"),
        of(PurchaseOrder, "currency", example="GBP"),
        of(PurchaseLine, "expected_on", heading="expected on", example="2027-03-01",
           shift=day_by_weeks),
        Column("sent", "sent", readers.yes_no, absent=False, example="yes", wanted="yes or no"),
    )  # fmt: skip

    def plan(self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool) -> Orders:
        """Judge each line, and that the rows of one order say the same of it."""
        orders: dict[tuple[int, str], list[dict[str, Any]]] = {}
        for row in rows:
            for name, words in _faults(row):
                report(row.number, self.heading_of(name), words)
            values = row.values
            mine = orders.setdefault((values["supplier"].pk, values["order"].upper()), [])
            for name in _OF_THE_ORDER:
                if mine and mine[0][name] != values[name]:
                    words = f"an earlier row says other things of order {values['order']}."
                    report(row.number, self.heading_of(name), words)
            mine.append(values)
        return Orders(orders, Outcome(new=len(rows)))


def _faults(row: SheetRow) -> Iterator[tuple[str, str]]:
    told = {name: row.values[name] for name in ("quantity", *_OF_A_LINE)}
    line = PurchaseLine(**told)
    head = PurchaseOrder(currency=row.values["currency"])
    faults = [*column_faults(line, told), *column_faults(head, ["currency"])]
    for fault in faults or [*broken_rules(line), *_currency(head)]:
        yield fault.field, fault.words


def _currency(head: PurchaseOrder) -> Iterator[Any]:
    return (fault for fault in broken_rules(head) if fault.field == "currency")
