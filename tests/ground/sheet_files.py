"""Spreadsheet files as people and their programs make them, for tests."""

from __future__ import annotations

import io

from openpyxl import Workbook


def csv_file(*rows, separator=",", encoding="utf-8", end="\r\n") -> bytes:
    """A CSV file of rows given as lists of text."""
    return end.join(
        separator.join(_quoted(cell, separator) for cell in row) for row in rows
    ).encode(encoding)


def xlsx_file(*rows, title="Sheet1", more=(), change=None) -> bytes:
    """A workbook of rows; ``more`` worksheets as (title, rows); ``change`` gets the first."""
    book = Workbook()
    book.active.title = title
    for row in rows:
        book.active.append(list(row))
    for other, other_rows in more:
        worksheet = book.create_sheet(other)
        for row in other_rows:
            worksheet.append(list(row))
    if change:
        change(book.active)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _quoted(cell, separator):
    text = str(cell)
    if any(sign in text for sign in (separator, '"', "\n")):
        return '"' + text.replace('"', '""') + '"'
    return text
