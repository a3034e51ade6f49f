"""A file as somebody sent it: what it really is, whatever it is called."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from inventory.ground.sheets.cells import Grid
from inventory.ground.sheets.limits import MOST_BYTES
from inventory.ground.sheets.problems import UnreadableSheet
from inventory.ground.sheets.text_file import read_text
from inventory.ground.sheets.workbook import read_workbook

_ZIP = b"PK\x03\x04"
_NOT_SHEETS = (
    (b"%PDF", "This is a PDF, whatever its name says: export the sheet as .xlsx or as CSV."),
    (
        b"\xd0\xcf\x11\xe0",
        "This is a workbook of the old kind (.xls), or one with a password: save it as .xlsx, "
        "without a password.",
    ),
    (b"\x89PNG", "This is a picture, not a spreadsheet."),
    (b"\xff\xd8\xff", "This is a picture, not a spreadsheet."),
    (b"GIF8", "This is a picture, not a spreadsheet."),
    (b"{\\rtf", "This is a text document: export the sheet as .xlsx or as CSV."),
    (b"<!DOCTYPE", "This is a web page: export the sheet as .xlsx or as CSV."),
    (b"<html", "This is a web page: export the sheet as .xlsx or as CSV."),
    (b"<?xml", "This is an XML file: export the sheet as .xlsx or as CSV."),
)


def digest_of(data: bytes) -> str:
    """The SHA-256 of a file, in hexadecimal: how a file that was loaded already is known again."""
    return hashlib.sha256(data).hexdigest()


def read_file(data: bytes, name: str, known: Callable[[list[str]], int]) -> Grid:
    """The rows of a spreadsheet file. Raises UnreadableSheet with what is wrong with it.

    ``name`` is the worksheet to look for in a workbook of several; ``known`` counts the known
    headings of a row, by which the separator of a CSV file is found.
    """
    if len(data) > MOST_BYTES:
        megabytes = MOST_BYTES // (1024 * 1024)
        raise UnreadableSheet(
            f"This file is larger than {megabytes} MB: divide it, or take pictures out of it."
        )
    for start, words in _NOT_SHEETS:
        if data.startswith(start):
            raise UnreadableSheet(words)
    grid = read_workbook(data, name) if data.startswith(_ZIP) else read_text(data, known)
    if not grid.rows:
        raise UnreadableSheet(
            "This spreadsheet is empty: the first row wants the headings, the next ones the rows."
        )
    return grid
