"""Cells that name a row of another table, found for a whole sheet with one query a column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from django.db.models import Model

from inventory.ground.entries.finding import Finder, fold, several_alike
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.rows import Report, SheetRow

_MOST_COMPARED = 20_000


@dataclass(frozen=True, slots=True)
class Reference:
    """What a cell names: a row of ``model`` by one of its fields, whatever the capitals.

    ``within`` names a field of that row and the column that holds its value: a pattern is found
    within its maker.
    """

    model: type[Model]
    words: str
    by: str = "code"
    within: tuple[str, str] | None = None


class _Near:
    """The nearest names that there are; read once, and only when something was not found."""

    def __init__(self, refers: Reference) -> None:
        self._refers = refers
        self._names: dict[Any, list[str]] = {}

    def of(self, cell: str, inside: Any) -> str | None:
        folded = {name.casefold(): name for name in self._known(inside)}
        match = get_close_matches(cell.casefold()[:100], folded, n=1, cutoff=0.75)
        return folded[match[0]] if match else None

    def _known(self, inside: Any) -> list[str]:
        if inside not in self._names:
            rows = self._refers.model._default_manager.all()
            if self._refers.within and inside is not None:
                rows = rows.filter(**{self._refers.within[0]: inside})
            names = rows.order_by(self._refers.by).values_list(self._refers.by, flat=True)
            self._names[inside] = list(names[:_MOST_COMPARED])
        return self._names[inside]


def resolve(
    rows: Sequence[SheetRow], name: str, heading: str, refers: Reference, report: Report
) -> None:
    """Put the rows that cells of one column name in the place of their names.

    A cell that names nothing is reported; where what it stands within was not found, it is left
    out silently, since that was reported already.
    """
    inner = refers.within[1] if refers.within else ""
    named = [row for row in rows if isinstance(row.values.get(name), str)]
    ready = [row for row in named if not inner or isinstance(row.values.get(inner), Model)]
    keys = {row.number: _key(row, name, inner) for row in ready}
    several: set[Any] = set()
    found = _finder(refers).find(set(keys.values()), several=several)
    near = _Near(refers)
    for row in named:
        cell, key = row.values[name], keys.get(row.number)
        row.values[name] = held = found.get(key) if key else None
        if key in several and held is not None:
            report(row.number, heading, several_alike(held))
        elif held is None and key:
            report(row.number, heading, _nothing(cell, row.values.get(inner), refers, near))
        elif held is None and row.values.get(inner) is None:
            report(row.number, heading, f"{quoted(cell)} needs its {inner} beside it.")


def _finder(refers: Reference) -> Finder[Any]:
    key = (refers.by, refers.within[0]) if refers.within else (refers.by,)
    return Finder(refers.model, key)


def _key(row: SheetRow, name: str, inner: str) -> tuple[Any, ...]:
    own = fold(row.values[name])
    return (own, fold(row.values[inner])) if inner else (own,)


def _nothing(cell: str, inside: Any, refers: Reference, near: _Near) -> str:
    where = f" of {inside}" if inside is not None else ""
    guess = near.of(cell, inside)
    told = f" Did you mean {guess}?" if guess else ""
    return f"there is no {refers.words} {quoted(cell)}{where}.{told}"
