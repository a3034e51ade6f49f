"""The published tables, one row a fact, each row with its source; read once and kept."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

__all__ = ["rows"]


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Every row of one table as text by column: ``rows("load_index")``."""
    text = files(__name__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))
