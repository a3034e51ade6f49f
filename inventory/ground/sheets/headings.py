"""Which column of a file is which column of the sheet: case, blanks and order do not matter."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from inventory.ground.sheets.cells import Grid, letters, quoted
from inventory.ground.sheets.columns import Column
from inventory.ground.sheets.rows import Report


def plain(heading: str) -> str:
    """A heading as it is compared: small letters, every run of other signs one blank."""
    parted = "".join(sign if sign.isalnum() or sign in "/°" else " " for sign in heading.casefold())
    return " ".join(parted.split())


def known(columns: Sequence[Column], headings: Sequence[str]) -> int:
    """How many of these headings are headings of the sheet."""
    names = {plain(column.heading) for column in columns}
    return sum(plain(heading) in names for heading in headings)


def matched(columns: Sequence[Column], grid: Grid, report: Report) -> dict[int, Column]:
    """The column that stands at each place of the file; what cannot be matched is reported."""
    number, headings = grid.rows[0]
    names = {plain(column.heading): column for column in columns}
    found: dict[int, Column] = {}
    for place, heading in enumerate(headings):
        column = names.get(plain(heading))
        if column is None:
            _report_unknown(number, place, heading, columns, grid, report)
        elif column in found.values():
            report(number, column.heading, "this heading stands there twice: take one out.")
        else:
            found[place] = column
    missing = [c for c in columns if c.required and c not in found.values()]
    for column in missing:
        report(number, column.heading, "this column is missing, and is needed.")
    _report_unheaded(grid, report)
    return found


def _report_unknown(
    number: int,
    place: int,
    heading: str,
    columns: Sequence[Column],
    grid: Grid,
    report: Report,
) -> None:
    if not heading:
        filled = next((row for row, cells in grid.body if any(cells[place : place + 1])), None)
        if filled:
            report(filled, f"column {letters(place + 1)}", "this column has no heading.")
        return
    close = {plain(column.heading): column.heading for column in columns}
    match = get_close_matches(plain(heading)[:100], close, n=1, cutoff=0.6)
    guess = f" Did you mean {quoted(close[match[0]])}?" if match else ""
    known_ones = ", ".join(column.heading for column in columns)
    told = guess or f" The headings known here are: {known_ones}."
    report(number, "", f"there is no column {quoted(heading)} in this sheet.{told}")


def _report_unheaded(grid: Grid, report: Report) -> None:
    width = len(grid.headings)
    for number, cells in grid.body:
        for place, cell in enumerate(cells[width:], start=width):
            if cell:
                report(number, f"column {letters(place + 1)}", "this cell stands under no heading.")
