"""The sheet of earlier sales: what other books say of each SKU and month."""

from __future__ import annotations

import re
from datetime import date

from inventory.activities.earlier_sales import EARLIER
from inventory.ground.sheets import readers
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.readers import Unread
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.shifting import day_by_years
from inventory.models.earlier_sales import EarlierSales
from inventory.models.sku import Sku

_MONTH = re.compile(r"([0-9]{4})-([0-9]{2})(-01)?", re.ASCII)


def month(cell: str) -> date:
    """A month, as year-month."""
    match = _MONTH.fullmatch(cell)
    if not match or not 1 <= int(match[2]) <= 12 or int(match[1]) < 1:
        raise Unread(f"{quoted(cell)} is not a month written as year-month, such as 2026-03.")
    return date(int(match[1]), int(match[2]), 1)


class SalesHistory(RegisterSheet):
    """One row for what was sold of a SKU in a month, before this system kept the books.

    A month that is not told is taken as not known, not as nought.
    """

    name = "sales-history"
    title = "Earlier sales"
    model = EarlierSales
    into = EARLIER
    key = ("sku", "month")
    columns = (
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        of(
            EarlierSales,
            "month",
            read=month,
            example="2026-03",
            wanted="a month, such as 2026-03",
            shift=day_by_years,
        ),
        of(EarlierSales, "sold", heading="sold less returned", example="6"),
        of(EarlierSales, "asked_in_vain", heading="asked for in vain", example="2"),
        of(EarlierSales, "days_without", heading="days without", example="5"),
        of(EarlierSales, "source", heading="from which books", read=readers.text, example="till"),
    )
