"""Rows that say who wrote them as they stand; every version of them is kept by the database."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db.models import Model

from inventory.ground.entries.register import Entry, Register

M = TypeVar("M", bound=Model)


class WrittenRegister(Register[M]):
    """Says on each new or changed row who wrote it and when; a reason belongs to its change."""

    stamped = Register.stamped | {"written_at", "written_by"}

    def stamp(self, row: M, *, by: User, at: datetime) -> None:
        self.sign(row, by=by, at=at)

    def sign(self, row: Any, *, by: User, at: datetime) -> None:
        """Say who wrote it as it stands."""
        row.written_by, row.written_at = by, at

    def rewritten(self, entry: Entry[M]) -> bool:
        """Whether what a row says was changed, and not only why."""
        return bool(set(entry.changes) - {"why"})

    def write(self, entries: Sequence[Entry[M]], *, by: User, at: datetime) -> None:
        for entry in entries:
            if not entry.is_new and self.rewritten(entry):
                self.sign(entry.row, by=by, at=at)
                if "why" not in entry.given:
                    entry.row.why = ""  # type: ignore[attr-defined]
        super().write(entries, by=by, at=at)
