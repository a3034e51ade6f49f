"""The parsed columns of a size, for rows that tests make: as the catalogue writes them."""

from __future__ import annotations

from inventory.activities.cataloguing.size_columns import size_columns as read_columns


def size_columns(text, stated_overall_mm=None):
    """Columns as the catalogue writes them; nothing for a text without a size."""
    if not text:
        return {}
    columns = dict(read_columns(text, stated_overall_mm))
    return {**columns, "size_keys": list(columns["size_keys"])}
