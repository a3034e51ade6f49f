"""How what people type over the API is read: sizes and rims."""

from __future__ import annotations

from inventory.markings import Rim, read_size, rim_from, search_keys


def size_keys(text: str) -> list[str]:
    """The search keys of a size in any form. Raises UnreadableMarking."""
    return sorted(search_keys(read_size(text)))


def rim(text: str) -> Rim:
    """A rim by its mark: 15, 16.5, 380. Raises UnreadableMarking."""
    return rim_from(text)
