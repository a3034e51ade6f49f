"""How what people type over the API is read."""

from __future__ import annotations

from inventory.markings import read_size, search_keys


def size_keys(text: str) -> list[str]:
    """The search keys of a size in any form. Raises UnreadableMarking."""
    return sorted(search_keys(read_size(text)))
