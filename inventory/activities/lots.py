"""A lot as it is told: its columns filled from its date code, and what of it cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any, TypedDict

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Values
from inventory.markings.datecode import NO_DATE, DateCode, UnreadableDateCode, read_date_code
from inventory.models.customer import Customer
from inventory.models.lot import Lot
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier

_LONGEST_CODE = 4  # figures as moulded; of a whole identification number its date part is kept


class LotValues(TypedDict, total=False):
    """What can be said of a lot.

    ``date_code`` is three or four figures, or a whole identification number, as read; "" for
    none. A mark that is not given is the SKU's own; "" says that there is none on the tyre.
    """

    code: str
    sku: Sku
    date_code: str
    mark: str
    mark_issue: str
    pattern_issue: str
    country: str
    delivery: str
    received_on: date
    unit_cost: Decimal | None
    currency: str
    owner: str
    owner_customer: Customer | None
    owner_supplier: Supplier | None
    condition: str
    buffed_to_mm: Decimal | None


def derive(lot: Lot, given: Values) -> list[Fault]:
    """Fill the columns of a new lot that follow from others, and tell what cannot be."""
    faults = list(_missing(lot))
    if not faults:
        _moulded(lot, given)
        faults = list(_dated(lot))
    return faults


def _missing(lot: Lot) -> Iterator[Fault]:
    if not lot.code:
        yield Fault("code", "A lot needs a code of its own.")
    if lot.sku_id is None:
        yield Fault("sku", "Say which SKU the lot is of.")
    if lot.received_on is None:
        yield Fault("received_on", "Say on which day it was received.")


def _moulded(lot: Lot, given: Values) -> None:
    """What nobody looked for on the sidewall is taken to be what the SKU says."""
    if given.get("mark") is None:
        lot.mark, lot.mark_issue = lot.sku.mark, lot.sku.mark_issue
    elif given.get("mark_issue") is None and lot.mark == lot.sku.mark:
        lot.mark_issue = lot.sku.mark_issue


def _dated(lot: Lot) -> Iterator[Fault]:
    try:
        columns = dated_columns(lot.date_code, lot.received_on)
    except UnreadableDateCode as error:
        yield Fault("date_code", str(error))
        return
    if columns["earliest"] is not None and columns["earliest"] > lot.received_on:
        day = lot.received_on.isoformat()
        yield Fault("date_code", f"{lot.date_code} is after {day}, when it was received.")
    for name, value in columns.items():
        setattr(lot, name, value)


def dated_columns(text: str, received_on: date) -> dict[str, Any]:
    """The columns of a lot that follow from its date code, read on the day on which it came.

    Raises UnreadableDateCode.
    """
    code = read(text, received_on)
    return {
        "date_code": text if len(text) <= _LONGEST_CODE else code.canonical,
        "plant": code.plant or "",
        "week_index": code.week_index,
        "first_day": code.first_day,
        "last_day": code.last_day,
        "earliest": code.earliest,
        "latest": code.latest,
    }


def read(text: str, received_on: date) -> DateCode:
    """A date code, or none, as it read on the day it came. Raises UnreadableDateCode."""
    return read_date_code(text, received_on) if text else NO_DATE
