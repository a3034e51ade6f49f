"""What a sheet is: its columns, how its rows are judged together, and how they are written."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, ClassVar

from django.contrib.auth.models import User
from django.db.models import Model

from inventory.ground.entries.finding import fold
from inventory.ground.sheets.columns import Column
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.shifting import Shift


@dataclass(frozen=True, slots=True)
class Change:
    """One value that a sheet changed: its row, what it belongs to, the field, before and after."""

    row: int
    what: str
    field: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"row {self.row}, {self.what}: {self.field} “{self.before}” → “{self.after}”"


@dataclass(slots=True)
class Outcome:
    """What a sheet did, or would do: rows that were new, changed, or there already just so."""

    new: int = 0
    changed: int = 0
    same: int = 0
    changes: tuple[Change, ...] = ()


class Plan(ABC):
    """What loading would do, all judged; ``write`` does it, in the transaction that planned it."""

    outcome: Outcome

    @abstractmethod
    def write(self, *, by: User, at: datetime) -> None:
        """Write everything."""


class Sheet(ABC):
    """One kind of spreadsheet. A subclass is one file in an ``imports`` package.

    ``key`` names the columns that together say which thing a row is about: no two rows of a file
    may be about the same. ``once`` is set where loading a file again must do nothing at all.
    """

    name: ClassVar[str]
    title: ClassVar[str]
    model: ClassVar[type[Model]]
    columns: ClassVar[tuple[Column, ...]]
    key: ClassVar[tuple[str, ...]]
    once: ClassVar[bool] = False
    # What a role must be allowed to do with the model: to load the sheet, and to change by it.
    needs: ClassVar[tuple[str, ...]] = ("add",)
    needs_to_change: ClassVar[tuple[str, ...]] = ("change",)

    @abstractmethod
    def plan(self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool) -> Plan:
        """Judge the rows together, as of a day; what is wrong goes to ``report``.

        Writes nothing. ``lock`` is set where the plan will be written.
        """

    def shifted(self, row: SheetRow, shift: Shift) -> None:  # noqa: B027  # most have nothing
        """Move what a single column cannot move by itself, since it hangs on others of the row."""

    def report_doubles(self, rows: Iterable[SheetRow], report: Report) -> None:
        """Report the rows that are about the same thing as a row before them."""
        first: dict[tuple[Any, ...], int] = {}
        for row in rows:
            key = tuple(fold(row.values.get(name)) for name in self.key)
            earlier = first.setdefault(key, row.number)
            if earlier != row.number:
                words = f"row {earlier} is about the same already: keep one of the two."
                report(row.number, self.heading_of(self.key[-1]), words)

    def heading_of(self, name: str) -> str:
        """The heading of the column that holds a value, or nothing."""
        return next((column.heading for column in self.columns if column.name == name), "")
