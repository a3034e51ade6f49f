"""What a label shows, before it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class LabelSize(StrEnum):
    """Width by height, mm: what a roll of labels is called by."""

    LARGE = "100x50"
    SMALL = "70x40"

    @property
    def mm(self) -> tuple[int, int]:
        """Width and height."""
        width, _, height = self.value.partition("x")
        return int(width), int(height)


@dataclass(frozen=True, slots=True)
class Label:
    """One label: ``title`` is read from afar, ``lines`` from near, ``foot`` stands large below.

    ``elements`` are the GS1 data of the symbol, or ``plain`` its text; ``code`` is printed under
    it, for whoever has no scanner.
    """

    title: str
    lines: tuple[str, ...]
    foot: str
    code: str
    elements: tuple[tuple[str, str], ...] = ()
    plain: str = ""
