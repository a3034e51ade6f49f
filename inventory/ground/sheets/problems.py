"""What is wrong with a spreadsheet: as a whole, or in one cell, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.ground.refusal import Refusal
from inventory.ground.sheets.limits import MOST_SHOWN


class UnreadableSheet(Refusal):
    """The file cannot be read as a spreadsheet; the sentence says why and what to do."""

    status = 422


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong: the row as the spreadsheet counts it (1: the headings), column, words."""

    row: int
    column: str
    words: str

    def __str__(self) -> str:
        where = f"row {self.row}, {self.column}" if self.column else f"row {self.row}"
        return f"{where}: {self.words}"


class SheetRefused(Refusal):
    """A spreadsheet with problems: nothing of it was loaded.

    ``problems`` holds all of them in order of rows; ``shown`` the first 500.
    """

    status = 422

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__(self._told())

    @property
    def shown(self) -> tuple[Problem, ...]:
        """The problems that are shown to people."""
        return self.problems[:MOST_SHOWN]

    @property
    def rest(self) -> int:
        """How many more there are than are shown."""
        return len(self.problems) - len(self.shown)

    def _told(self) -> str:
        count = len(self.problems)
        things = "One thing is" if count == 1 else f"{count} things are"
        return f"{things} wrong with this spreadsheet; nothing of it was loaded."
