"""CSV files as people's programs write them: any of three separators, several encodings."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Callable, Iterator

from inventory.ground.sheets.cells import Grid, Row, filled, tidy
from inventory.ground.sheets.limits import MOST_COLUMNS, MOST_ROWS
from inventory.ground.sheets.problems import UnreadableSheet

SEPARATORS = (",", ";", "\t")
_LONGEST_CELL = 131_072
_FALLBACK_TOLD = (
    "This file is not written in UTF-8 and was read as Windows-1252: look whether letters such as "
    "é and ö came through."
)
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def read_text(data: bytes, known: Callable[[list[str]], int]) -> Grid:
    """The rows of a CSV file. Raises UnreadableSheet.

    ``known`` counts how many headings of a row are known: the separator is the one with which the
    first row reads best.
    """
    text, notes = _decoded(data)
    if "\x00" in text:
        raise UnreadableSheet(
            "This is neither a workbook (.xlsx) nor a text file: export the sheet again as .xlsx "
            "or as CSV in UTF-8."
        )
    separator = max(SEPARATORS, key=lambda sign: _fitness(text, sign, known))
    return Grid(list(_limited(filled(_records(text, separator)))), notes)


def _decoded(data: bytes) -> tuple[str, tuple[str, ...]]:
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "utf-8")
    try:
        return data.decode(encoding), ()
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252"), (_FALLBACK_TOLD,)
    except UnicodeDecodeError as error:
        raise UnreadableSheet(
            f"Byte {error.start + 1} of this file is no letter in UTF-8 nor in Windows-1252: save "
            "it as CSV in UTF-8, or as .xlsx."
        ) from error


def _fitness(text: str, separator: str, known: Callable[[list[str]], int]) -> tuple[int, int]:
    try:
        first = next(filled(_records(text, separator)), (0, []))[1]
    except UnreadableSheet:
        return (-1, 0)
    return (known(first), len(first))


def _records(text: str, separator: str) -> Iterator[Row]:
    # newline="": an end of line inside quotation marks belongs to the cell
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            yield number, [tidy(cell) for cell in cells]
    except csv.Error as error:
        raise UnreadableSheet(_broken(str(error), number + 1)) from error


def _broken(error: str, row: int) -> str:
    if "field larger" in error:
        return f"A cell in row {row} holds more than {_LONGEST_CELL:,} signs."
    return (
        f"Row {row} cannot be read as CSV: a quotation mark is opened and not closed, or stands in "
        'the middle of a cell. Put the whole cell in "…" and double each mark inside it.'
    )


def _limited(rows: Iterator[Row]) -> Iterator[Row]:
    for count, (number, cells) in enumerate(rows):
        if count > MOST_ROWS:
            raise UnreadableSheet(too_many_rows())
        if any(cells[MOST_COLUMNS:]):
            raise UnreadableSheet(too_many_columns(number))
        yield number, cells[:MOST_COLUMNS]


def too_many_rows() -> str:
    """What is said of a sheet that is too long."""
    return f"This spreadsheet has more than {MOST_ROWS:,} rows: divide it into several files."


def too_many_columns(row: int) -> str:
    """What is said of a sheet that is too wide."""
    return f"Row {row} has something beyond the first {MOST_COLUMNS} columns: take it out."
