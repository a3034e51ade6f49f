"""What belongs to the rows of a register but stands in another table."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from inventory.ground.entries.register import Entry

Held = Mapping[int, Any]


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its name among the values given, and both sides in a form that can be compared.

    ``wanted`` makes of an entry what its row should have; ``held`` tells of rows, by key, what
    they have. A row that it does not tell of has ``nothing``.
    """

    name: str
    wanted: Callable[[Entry[Any]], Any]
    held: Callable[[Collection[int]], Held]
    nothing: Any = frozenset()

    def mark(self, entries: Collection[Entry[Any]]) -> None:
        """Mark the entries of rows that have something else than was given."""
        told = [e for e in entries if self.name in e.given and not e.is_new and not e.faults]
        held = self.held([entry.row.pk for entry in told]) if told else {}
        for entry in told:
            if self.wanted(entry) != held.get(entry.row.pk, self.nothing):
                entry.parts_changed = True


__all__ = ["Part"]
