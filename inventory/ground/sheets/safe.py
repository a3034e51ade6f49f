"""Text on its way into a spreadsheet: nothing in it may start a formula there."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from inventory.ground.sheets.cells import STARTS_FORMULA


def safe_cell(value: Any) -> Any:
    """A value as it may stand in a cell: text that would start a formula gets an apostrophe first.

    Numbers and days stay what they are; reading a sheet takes the apostrophe away again.
    """
    if not isinstance(value, str):
        return value
    text = ILLEGAL_CHARACTERS_RE.sub("", value)
    return f"'{text}" if text.lstrip()[:1] in STARTS_FORMULA and text.strip() else text


def csv_of(rows: Iterable[Sequence[Any]]) -> bytes:
    """Rows as a CSV file in UTF-8, with the mark by which spreadsheet programs know it."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    for row in rows:
        writer.writerow([safe_cell(value) for value in row])
    return out.getvalue().encode("utf-8-sig")
