"""One row that is entered by itself and known by nothing but its number."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Model

from inventory.ground.entries.columns import column_faults
from inventory.ground.entries.faults import Faulty
from inventory.ground.entries.rules import broken_rules


def refuse_faulty(row: Model, names: Iterable[str]) -> None:
    """Clean the named columns in place; raise Faulty for them and for the row's own rules."""
    faults = list(column_faults(row, names)) or list(broken_rules(row))
    if faults:
        raise Faulty(faults)
