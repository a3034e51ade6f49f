"""An empty sheet to fill in: the headings, one example row, and what is wanted in each column."""

from __future__ import annotations

import io
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from inventory.ground.sheets.safe import csv_of, safe_cell
from inventory.ground.sheets.sheet import Sheet

KINDS = ("csv", "xlsx")


def template(sheet: Sheet, kind: str = "xlsx") -> bytes:
    """The template of a sheet as a file of this kind, ``csv`` or ``xlsx``."""
    headings = [column.heading for column in sheet.columns]
    example = [column.example for column in sheet.columns]
    if kind == "csv":
        return csv_of([headings, example])
    if kind != "xlsx":
        raise ValueError(f"{kind!r} is no kind of template: {' or '.join(KINDS)}")
    book = Workbook()
    _fill_in(book.active, sheet, headings, example)
    _explain(book.create_sheet("what is wanted"), sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill_in(worksheet: Any, sheet: Sheet, headings: list[str], example: list[str]) -> None:
    worksheet.title = sheet.name[:31]
    worksheet.append([safe_cell(heading) for heading in headings])
    worksheet.append([safe_cell(cell) for cell in example])
    worksheet.freeze_panes = "A2"
    for place, heading in enumerate(headings, start=1):
        column = worksheet.column_dimensions[get_column_letter(place)]
        # Cells are text from the start, or a date code 0523 would lose its nought.
        column.number_format = "@"
        column.width = max(12, min(len(heading) + 4, 40))
        worksheet.cell(1, place).font = Font(bold=True)
        worksheet.cell(2, place).number_format = "@"


def _explain(worksheet: Any, sheet: Sheet) -> None:
    worksheet.append(["column", "needed", "what to write", "example"])
    for column in sheet.columns:
        needed = "yes" if column.required else "no"
        row = [column.heading, needed, column.wanted or "text", column.example]
        worksheet.append([safe_cell(cell) for cell in row])
    for letter, width in zip("ABCD", (28, 10, 70, 30), strict=True):
        worksheet.column_dimensions[letter].width = width
    for row in worksheet.iter_rows():
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.number_format = "@"
    for cell in worksheet[1]:
        cell.font = Font(bold=True)
