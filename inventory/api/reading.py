"""How what people type over the API is read: sizes, rims, numbers, and inches."""

from __future__ import annotations

from typing import Any

from inventory.markings import Rim, read_size, rim_from, search_keys, to_mm

MM_PER_INCH = 25.4


def size_keys(text: str) -> list[str]:
    """The search keys of a size in any form. Raises UnreadableMarking."""
    return sorted(search_keys(read_size(text)))


def rim(text: str) -> Rim:
    """A rim by its mark: 15, 16.5, 380. Raises UnreadableMarking."""
    return rim_from(text)


def to_inches(value: Any) -> float:
    """A length in inches: a bare number is one already, a text may name its unit. Raises WrongUnit.

    Rim widths are marked in inches everywhere, so inches are the unit of their columns.
    """
    number = to_mm(value)
    bare = not isinstance(value, str) or value.strip().replace(".", "", 1).isdigit()
    return number if bare else round(number / MM_PER_INCH, 9)
