"""What belongs to the rows of a register but stands in another table."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from inventory.ground.entries.entry import Entry

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


@dataclass(frozen=True, slots=True)
class Links:
    """A part that is a table of links: which rows of another model go with each row.

    ``owner`` and ``other`` are the columns of the table ``through`` that hold their keys.
    """

    name: str
    through: Any
    owner: str
    other: str

    @property
    def part(self) -> Part:
        return Part(self.name, self._wanted, self._others)

    def write(self, entries: Collection[Entry[Any]]) -> None:
        """Link each row to exactly those that were given with it, where that was told."""
        told = [e for e in entries if self.name in e.given and (e.is_new or e.parts_changed)]
        wanted = {entry.row.pk: self._wanted(entry) for entry in told}
        held = self._held(wanted)
        gone = [
            pk
            for row, some in held.items()
            for other, pk in some.items()
            if other not in wanted[row]
        ]
        if gone:
            self._rows.filter(pk__in=gone).delete()
        self._rows.bulk_create(
            [
                self.through(**{self.owner: row, self.other: other})
                for row, others in wanted.items()
                for other in sorted(others - held[row].keys())
            ],
            batch_size=1000,
        )

    @property
    def _rows(self) -> Any:
        return self.through._default_manager

    def _wanted(self, entry: Entry[Any]) -> set[int]:
        return {one.pk for one in entry.given[self.name]}

    def _others(self, rows: Collection[int]) -> Held:
        return {row: set(some) for row, some in self._held(rows).items()}

    def _held(self, rows: Collection[int]) -> defaultdict[int, dict[int, int]]:
        held: defaultdict[int, dict[int, int]] = defaultdict(dict)
        found = self._rows.filter(**{f"{self.owner}__in": list(rows)})
        for row, other, pk in found.values_list(self.owner, self.other, "pk"):
            held[row][other] = pk
        return held


__all__ = ["Links", "Part"]
