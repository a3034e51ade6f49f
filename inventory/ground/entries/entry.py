"""One row as it will be, beside what it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from django.db.models import Model

from inventory.ground.entries import writing
from inventory.ground.entries.faults import Fault

M = TypeVar("M", bound=Model)
Values = Mapping[str, Any]


@dataclass(slots=True)
class Entry(Generic[M]):
    """One row as it will be: what was there before, and what is wrong with it."""

    row: M
    given: Values
    before: dict[str, Any] | None
    faults: list[Fault] = field(default_factory=list)
    parts_changed: bool = False

    @property
    def is_new(self) -> bool:
        return self.before is None

    @property
    def changes(self) -> dict[str, tuple[Any, Any]]:
        """What differs, by field: before and after. Empty for a new row."""
        now = writing.columns_of(self.row)
        before = self.before or {}
        return {name: (old, now[name]) for name, old in before.items() if old != now[name]}

    @property
    def is_changed(self) -> bool:
        return not self.is_new and (self.parts_changed or bool(self.changes))


__all__ = ["Entry", "Values"]
