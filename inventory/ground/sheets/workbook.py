"""Workbooks (.xlsx): values only, one worksheet, each formula and error named by its cell."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from openpyxl import load_workbook

from inventory.ground.sheets import package
from inventory.ground.sheets.cells import Flaw, Grid, Row, letters, plain, quoted
from inventory.ground.sheets.limits import MOST_COLUMNS, MOST_ROWS
from inventory.ground.sheets.problems import UnreadableSheet
from inventory.ground.sheets.text_file import too_many_columns, too_many_rows


def read_workbook(data: bytes, name: str) -> Grid:
    """The rows of the worksheet called ``name``, or of the first one. Raises UnreadableSheet."""
    with package.opened(data) as archive:
        try:
            book = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            worksheet, notes = _chosen(book, name)
            merged = package.merged_ranges(archive, worksheet._worksheet_path)
            if merged:
                raise UnreadableSheet(_merged(merged, worksheet.title))
            return _read(worksheet, notes)
        except UnreadableSheet:
            raise
        except Exception as error:
            # A damaged workbook fails anywhere in the library, and in any way.
            raise package.damaged() from error


def _chosen(book: Any, name: str) -> tuple[Any, tuple[str, ...]]:
    visible = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
    if not visible:
        raise UnreadableSheet("This workbook has no worksheet that can be seen.")
    named = [sheet for sheet in visible if _plain_name(sheet.title) == _plain_name(name)]
    chosen = (named or visible)[0]
    if len(visible) == 1:
        return chosen, ()
    told = f"Only the worksheet {quoted(chosen.title)} was read, of {len(visible)} in the workbook."
    return chosen, (told,)


def _plain_name(title: str) -> str:
    return "".join(sign for sign in title.casefold() if sign.isalnum())


def _merged(ranges: list[str], title: str) -> str:
    told = ", ".join(ranges[:10])
    return (
        f"Cells are merged in the worksheet {quoted(title)} ({told}): unmerge them and put a value "
        "into each cell, since it cannot be told which rows a merged one speaks for."
    )


def _read(worksheet: Any, notes: tuple[str, ...]) -> Grid:
    worksheet.reset_dimensions()  # what the file claims of its size is often wrong
    rows: list[Row] = []
    flaws: list[Flaw] = []
    for number, cells in enumerate(worksheet.iter_rows(), start=1):
        texts = [_text(cell, number, place, flaws) for place, cell in enumerate(cells)]
        if not any(texts):
            continue
        if any(texts[MOST_COLUMNS:]):
            raise UnreadableSheet(too_many_columns(number))
        if len(rows) > MOST_ROWS:
            raise UnreadableSheet(too_many_rows())
        rows.append((number, list(_without_tail(texts))))
    return Grid(rows, notes, tuple(flaws))


def _text(cell: Any, row: int, place: int, flaws: list[Flaw]) -> str:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        flaws.append(Flaw(row, place, _formula(row, place)))
        return "="
    if cell.data_type == "e":
        words = f"cell {letters(place + 1)}{row} holds the error {value}: put in what is meant."
        flaws.append(Flaw(row, place, words))
        return str(value)
    try:
        return plain(value, cell.number_format if isinstance(value, int | float) else "General")
    except ValueError as error:
        flaws.append(Flaw(row, place, f"cell {letters(place + 1)}{row}: {error}"))
        return "?"


def _formula(row: int, place: int) -> str:
    return (
        f"cell {letters(place + 1)}{row} holds a formula: copy the cell and paste it as a value, "
        "so that what is loaded is what you see."
    )


def _without_tail(texts: list[str]) -> Iterator[str]:
    last = max((place for place, text in enumerate(texts) if text), default=-1)
    return iter(texts[: last + 1])
