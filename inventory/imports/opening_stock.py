"""The sheet of opening stock: what lies where on the day on which the house begins to count."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from inventory.activities.opening import LOTS
from inventory.ground.entries.finding import Finder, several_alike
from inventory.ground.entries.register import Values
from inventory.ground.sheets import readers
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet, Registration
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import Shift, day_by_weeks
from inventory.imports.date_codes import shifted_code
from inventory.models.customer import Customer
from inventory.models.lot import BlockReason, Lot, Owner
from inventory.models.place import Place
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier

_OWNERS: dict[str, tuple[str, Finder[Any]]] = {
    Owner.CUSTOMER: ("owner_customer", Finder(Customer, ("name",))),
    Owner.SUPPLIER: ("owner_supplier", Finder(Supplier, ("code",))),
}
_NONE = "none"


def mark(cell: str) -> str:
    """A mark as seen; the word "none" where it was looked for and there is none."""
    return "" if cell.casefold() == _NONE else readers.text(cell)


class OpeningStock(RegisterSheet):
    """One row for the tyres of one lot in one place. A file is booked once, whoever sends it."""

    name = "opening-stock"
    title = "Opening stock"
    model = Lot
    into = LOTS
    key = ("code", "place")
    once = True
    columns = (
        of(Lot, "code", heading="lot", read=readers.code, example="LOT-0001"),
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        Column("quantity", "quantity", readers.whole, required=True, example="8"),
        to("place", "place", Reference(Place, "place"), required=True, example="A-01-2"),
        of(
            Lot,
            "date_code",
            heading="date code",
            read=readers.figures(4),
            example="1423",
            wanted="as it is moulded, or the whole identification number; empty if there is none",
        ),
        Column("mark", "mark", mark, absent=None, wanted="as seen; none; empty: the SKU's own"),
        Column("mark issue", "mark_issue", mark, absent=None, wanted="as for the mark"),
        of(Lot, "pattern_issue"),
        of(Lot, "country", heading="made in", example="Portugal"),
        of(Lot, "delivery", example="D-2024-07"),
        of(Lot, "received_on", heading="received on", example="2024-03-11", shift=day_by_weeks),
        of(Lot, "unit_cost", example="118.50"),
        of(Lot, "currency", example="GBP"),
        of(Lot, "owner", example="the house"),
        Column("whose", "whose", readers.text, wanted="the customer's name, the supplier's code"),
        of(Lot, "condition", example="new"),
        of(Lot, "buffed_to_mm", heading="buffed to mm"),
        Column(
            "blocked",
            "blocked",
            readers.choice(BlockReason.choices),
            wanted="why it may not be sold: " + ", ".join(BlockReason.labels),
        ),
        Column("note", "note", readers.words),
    )

    def shifted(self, row: SheetRow, shift: Shift) -> None:
        """The date code moves with the day on which the lot was received."""
        code, received = row.values.get("date_code"), row.values["received_on"]
        if code:
            before = received - timedelta(weeks=shift.weeks)
            row.values["date_code"] = shifted_code(code, before, shift)

    def plan(
        self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool
    ) -> Registration:
        """Find the owners of all rows, then judge the lots."""
        self._find_owners(rows, report)
        return super().plan(report.sound(list(rows)), report, on=on, lock=lock)

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """What the lot register wants to know."""
        received = row.values["received_on"]
        if received > on:
            report(row.number, "received on", f"{received.isoformat()} is still to come.")
        return [{name: value for name, value in row.values.items() if name != "whose"}]

    def _find_owners(self, rows: Sequence[SheetRow], report: Report) -> None:
        for owner, (field, finder) in _OWNERS.items():
            theirs = [row for row in rows if row.values.get("owner") == owner]
            several: set[Any] = set()
            keys = {row.number: finder.key_of(_named(finder, row)) for row in theirs}
            found = finder.find(set(keys.values()), several=several)
            for row in theirs:
                row.values[field] = held = found.get(keys[row.number])
                if held is None:
                    report(row.number, "whose", _nobody(row, finder))
                elif keys[row.number] in several:
                    report(row.number, "whose", several_alike(held))
        for row in rows:
            if row.values.get("owner", Owner.HOUSE) == Owner.HOUSE and row.values.get("whose"):
                words = f"the house's own tyres are nobody else's: {quoted(row.values['whose'])}."
                report(row.number, "whose", words)


def _named(finder: Finder[Any], row: SheetRow) -> dict[str, str]:
    return {finder.key[0]: row.values.get("whose") or ""}


def _nobody(row: SheetRow, finder: Finder[Any]) -> str:
    what = str(finder.model._meta.verbose_name)
    named = row.values.get("whose") or ""
    if not named:
        return f"say which {what}'s these tyres are."
    return f"there is no {what} {quoted(named)}."
