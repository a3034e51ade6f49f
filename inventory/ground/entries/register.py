"""How rows of one model are entered: found by their natural key, judged all at once, then written.

One path serves the form that enters one row and the spreadsheet that enters five thousand, so
that what is refused, and in which words, is the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from typing import Any, ClassVar, Generic, TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Model
from django.utils import timezone

from inventory.ground.entries import writing
from inventory.ground.entries.columns import column_faults, missing_columns
from inventory.ground.entries.entry import Entry, Values
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.finding import Finder, Key
from inventory.ground.entries.parts import Part
from inventory.ground.entries.rules import broken_rules
from inventory.ground.entries.uniques import unique_faults
from inventory.ground.refusal import StaleVersion
from inventory.ground.violations import named_violation

M = TypeVar("M", bound=Model)
Derive = Callable[[M, Values], Iterable[Fault]]


class Register(Generic[M]):
    """The rows of one model, known by ``key``; ``derive`` fills columns that follow from others.

    Values that are no columns are the ``parts`` (numbers of a SKU, chassis ranges of a variant):
    those that differ are known by ``compared`` when rows are planned, and written by
    ``write_parts``; a subclass gives both.
    """

    parts: ClassVar[frozenset[str]] = frozenset()
    compared: ClassVar[tuple[Part, ...]] = ()
    stamped: ClassVar[frozenset[str]] = frozenset({"recorded_at", "recorded_by"})

    def __init__(
        self, model: type[M], key: tuple[str, ...], *, derive: Derive[M] | None = None
    ) -> None:
        self.model = model
        self.finder = Finder(model, key)
        self._derive = derive

    def completed(self, given: Values) -> tuple[Values, list[Fault]]:
        """What was given with what follows from it that is part of the key; and what is wrong."""
        return given, []

    def stamp(self, row: M, *, by: User, at: datetime) -> None:
        """Say on a new row who entered it and when, where the model keeps that."""

    def write_parts(self, entries: Sequence[Entry[M]], *, by: User, at: datetime) -> None:
        """Write what belongs to the rows but stands in other tables."""

    def compare(self, entries: Sequence[Entry[M]]) -> None:
        """Mark the entries whose parts are others than was given."""
        for part in self.compared:
            part.mark(entries)

    def judge_on(self, entries: Sequence[Entry[M]], *, on: date) -> None:
        """Add to entries what is wrong with them on this day, or beside rows of other tables."""

    def plan(self, rows: Sequence[Values], *, lock: bool = False) -> list[Entry[M]]:
        """What entering these rows would do, and every fault of every row; nothing is written."""
        told = [self.completed(values) for values in rows]
        keys = [self.finder.key_of(values) for values, _ in told]
        held = self.finder.find(keys, lock=lock)
        entries = [
            self._entry(held.get(key), values, faults)
            for key, (values, faults) in zip(keys, told, strict=True)
        ]
        sound = [entry for entry in entries if not entry.faults]
        for position, fault in unique_faults([entry.row for entry in sound]):
            sound[position].faults.append(fault)
        self.compare(entries)
        return entries

    def write(self, entries: Sequence[Entry[M]], *, by: User, at: datetime) -> None:
        """Write what was planned; call it inside the transaction that planned it with locks."""
        refuse(entries)
        with named_violation():
            # Changes first: a new row may take the place that a changed one gives up.
            altered = [entry for entry in entries if entry.changes]
            names = {name for entry in altered for name in entry.changes}
            writing.update(self.model, [entry.row for entry in altered], names, by=by, at=at)
            fresh = [entry.row for entry in entries if entry.is_new]
            for row in fresh:
                self.stamp(row, by=by, at=at)
            writing.insert(self.model, fresh, by=by, at=at)
            self.write_parts(entries, by=by, at=at)
            # A change of parts alone is a version too: else two would overwrite each other's.
            parted = [entry.row for entry in entries if entry.is_changed and not entry.changes]
            writing.note_change(self.model, parted, by=by, at=at)
            writing.settle()

    def enter(self, rows: Sequence[Values], *, by: User, at: datetime) -> list[Entry[M]]:
        """Enter rows, changing those whose key is there already. Raises Faulty; all or nothing."""
        with transaction.atomic():
            entries = self.plan(rows, lock=True)
            self.judge_on(entries, on=timezone.localdate(at))
            self.write(entries, by=by, at=at)
        return entries

    def make(self, given: Values, *, by: User, at: datetime) -> M:
        """Enter one new row. Raises Faulty, also where its key is there already."""
        with transaction.atomic():
            entry = self._entry(None, *self.completed(given))
            self._judge_alone(entry, at)
            self.write([entry], by=by, at=at)
        return entry.row

    def change(
        self, row: M, given: Values, *, seen: int | None = None, by: User, at: datetime
    ) -> M:
        """Change the given fields of one row.

        ``seen`` is the ``version_of`` the row that the person was looking at: raises StaleVersion
        where it has been changed since. Raises Faulty.
        """
        with transaction.atomic():
            held = self.finder.locked(row.pk)
            if seen is not None and writing.version_of(held) != seen:
                raise StaleVersion
            entry = self._entry(held, *self.completed(given))
            self._judge_alone(entry, at)
            self.write([entry], by=by, at=at)
        return entry.row

    def _judge_alone(self, entry: Entry[M], at: datetime) -> None:
        if not entry.faults:
            entry.faults += [fault for _, fault in unique_faults([entry.row])]
        self.compare([entry])
        self.judge_on([entry], on=timezone.localdate(at))

    def _entry(self, held: M | None, given: Values, faults: Iterable[Fault]) -> Entry[M]:
        row = held if held is not None else self.model()
        before = writing.columns_of(row) if held is not None else None
        entry = Entry(row, given, before, list(faults))
        columns = [name for name in given if name not in self.parts]
        unknown = set(columns) - self.finder.columns
        if unknown:
            raise TypeError(f"{self.model.__name__} has no {', '.join(sorted(unknown))}")
        for name in columns:
            setattr(row, name, given[name])
        entry.faults += column_faults(row, columns)
        if not entry.faults and self._derive:
            entry.faults += self._derive(row, given)
        if not entry.faults and held is None:
            entry.faults += missing_columns(row, self.stamped)
        if not entry.faults:
            entry.faults += broken_rules(row)
        return entry


def refuse(entries: Iterable[Entry[Any]]) -> None:
    """Raise Faulty with every fault of these rows, if there is any."""
    faults = [fault for entry in entries for fault in entry.faults]
    if faults:
        raise Faulty(faults)


__all__ = ["Entry", "Key", "Register", "Values", "refuse"]
