"""Sheets whose rows go into one register: nearly all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, ClassVar

from django.contrib.auth.models import User
from django.db.models import Model

from inventory.ground.entries.register import Entry, Register, Values
from inventory.ground.sheets.rows import Report, SheetRow
from inventory.ground.sheets.sheet import Change, Outcome, Plan, Sheet


@dataclass
class Registration(Plan):
    """Entries planned for one register, with the rows of the sheet that they came from."""

    into: Register[Any]
    numbers: Sequence[int]
    entries: Sequence[Entry[Any]]
    outcome: Outcome = field(default_factory=Outcome)

    def write(self, *, by: User, at: datetime) -> None:
        """Write the entries, then count them: parts of a row may change where the row does not."""
        self.into.write(self.entries, by=by, at=at)
        self.count()

    def count(self) -> None:
        """Put into ``outcome`` what the entries come to."""
        new = sum(entry.is_new for entry in self.entries)
        changed = sum(entry.is_changed for entry in self.entries)
        self.outcome.new, self.outcome.changed = new, changed
        self.outcome.same = len(self.entries) - new - changed
        self.outcome.changes = tuple(
            Change(number, str(entry.row), _label(entry.row, name), _told(before), _told(after))
            for number, entry in zip(self.numbers, self.entries, strict=True)
            for name, (before, after) in entry.changes.items()
            if entry.row._meta.get_field(_field(entry.row, name)).editable
        )


class RegisterSheet(Sheet):
    """A sheet of rows for one register; ``values_of`` may make several entries of one row."""

    into: ClassVar[Register[Any]]

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """What a row says, as values for the register."""
        return [row.values]

    def plan(
        self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool
    ) -> Registration:
        """Judge the rows by the register."""
        told = [(row.number, values) for row in rows for values in self.values_of(row, report, on)]
        entries = self.into.plan([values for _, values in told], lock=lock)
        self.into.judge_on(entries, on=on)
        plan = Registration(self.into, [number for number, _ in told], entries)
        for number, entry in zip(plan.numbers, entries, strict=True):
            for fault in entry.faults:
                report(number, self.heading_of(fault.field), fault.words)
        plan.count()
        return plan


def _field(row: Model, name: str) -> str:
    return next(f.name for f in row._meta.concrete_fields if name in (f.name, f.attname))


def _label(row: Model, name: str) -> str:
    return str(row._meta.get_field(_field(row, name)).verbose_name)  # type: ignore[union-attr]


def _told(value: Any) -> str:
    return "" if value is None else str(value)
