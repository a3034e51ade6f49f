"""Rows of a sheet as read, and the report to which what is wrong with them is told."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from inventory.ground.sheets.problems import Problem


@dataclass(slots=True)
class SheetRow:
    """One row: its number as the spreadsheet counts, and its values by name of the column."""

    number: int
    values: dict[str, Any]


@dataclass(slots=True)
class Report:
    """Collects what is wrong, cell by cell."""

    problems: list[Problem] = field(default_factory=list)
    _rows: set[int] = field(default_factory=set)

    def __call__(self, row: int, column: str, words: str) -> None:
        """Something is wrong in a row, in a column (empty: in the row as a whole)."""
        self.problems.append(Problem(row, column, words))
        self._rows.add(row)

    def sound(self, rows: list[SheetRow]) -> list[SheetRow]:
        """The rows of which nothing was reported."""
        return [row for row in rows if row.number not in self._rows]
