"""What is wrong with one row that somebody wants to enter, field by field, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.ground.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a row: the field it is about (empty: the row as a whole), and words."""

    field: str
    words: str


class Faulty(Refusal):
    """A row cannot be entered as it is; every reason is told, not only the first."""

    status = 422

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        words = " ".join(dict.fromkeys(fault.words for fault in self.faults))
        super().__init__(words, field=next((f.field for f in self.faults if f.field), None))

    @property
    def at_fault(self) -> Sequence[tuple[str, str]]:
        return [(fault.field, fault.words) for fault in self.faults]
