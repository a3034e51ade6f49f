"""A file read into the rows of a sheet, every cell looked at, everything wrong with it told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

from inventory.ground.sheets import headings
from inventory.ground.sheets.cells import Grid
from inventory.ground.sheets.columns import Column
from inventory.ground.sheets.files import read_file
from inventory.ground.sheets.references import resolve
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import Shift


def read_rows(
    data: bytes, name: str, columns: Sequence[Column], shift: Shift, report: Report
) -> tuple[list[SheetRow], tuple[str, ...]]:
    """The rows of a file, references found, and notes about how it was read.

    Everything wrong goes to ``report``. Raises UnreadableSheet where there is nothing to report on.
    """
    grid = read_file(data, name, partial(headings.known, columns))
    places = headings.matched(columns, grid, report)
    _report_flaws(grid, places, report)
    if any(problem.row == grid.rows[0][0] for problem in report.problems):
        return [], grid.notes  # under wrong headings every cell would be wrong
    flawed = {(flaw.row, flaw.column) for flaw in grid.flaws}
    rows = [_row(number, cells, places, flawed, shift, report) for number, cells in grid.body]
    _resolve_all(rows, places.values(), report)
    return rows, grid.notes


def _resolve_all(rows: list[SheetRow], columns: Iterable[Column], report: Report) -> None:
    referring = [(column, column.refers) for column in columns if column.refers]
    # What others stand within comes first, wherever its column is in the file.
    for column, refers in sorted(referring, key=lambda pair: pair[1].within is not None):
        resolve(rows, column.name, column.heading, refers, report)


def _report_flaws(grid: Grid, places: dict[int, Column], report: Report) -> None:
    for flaw in grid.flaws:
        column = places.get(flaw.column)
        report(flaw.row, column.heading if column else "", flaw.words)


def _row(
    number: int,
    cells: list[str],
    places: dict[int, Column],
    flawed: set[tuple[int, int]],
    shift: Shift,
    report: Report,
) -> SheetRow:
    row = SheetRow(number, {})
    for place, column in places.items():
        cell = cells[place] if place < len(cells) else ""
        if (number, place) not in flawed:
            _read(row, column, cell, shift, report)
    return row


def _read(row: SheetRow, column: Column, cell: str, shift: Shift, report: Report) -> None:
    if not cell:
        row.values[column.name] = column.absent
        if column.required:
            report(row.number, column.heading, "this cell is empty, and is needed.")
        return
    try:
        value = column.read(cell)
    except ValueError as error:
        report(row.number, column.heading, str(error))
        return
    if column.shift and (shift.weeks or shift.years):
        value = column.shift(value, shift)
    row.values[column.name] = value
