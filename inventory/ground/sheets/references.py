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
_MOST_GUESSES = 20  # each compares with every name there is


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
        self._asked = 0

    def of(self, cell: str, inside: Any) -> str | None:
        self._asked += 1
        if self._asked > _MOST_GUESSES:
            return None
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

    A cell that names nothing is reported, and keeps its text; where what it stands within was not
    found, nothing is said of it, since that was reported already. Cells that hold several names
    (``readers.many``) become tuples of rows.
    """
    inner = refers.within[1] if refers.within else ""
    told = {row.number: _names(row, name) for row in rows}
    ready = [row for row in rows if not inner or isinstance(row.values.get(inner), Model)]
    keys = {_key(row, one, inner) for row in ready for one in told[row.number]}
    several: set[Any] = set()
    found = _finder(refers).find(keys, several=several)
    near = _Near(refers)
    for row in ready:
        held = [found.get(_key(row, one, inner)) for one in told[row.number]]
        for one, it in zip(told[row.number], held, strict=True):
            if it is None:
                report(row.number, heading, _nothing(one, row.values.get(inner), refers, near))
            elif _key(row, one, inner) in several:
                report(row.number, heading, several_alike(it))
        if held and None not in held:
            single = isinstance(row.values[name], str)
            row.values[name] = held[0] if single else tuple(held)
    for row in rows:
        if inner and told[row.number] and row.values.get(inner) is None:
            words = f"{quoted(told[row.number][0])} needs its {inner.replace('_', ' ')} beside it."
            report(row.number, heading, words)


def _names(row: SheetRow, name: str) -> tuple[str, ...]:
    """The names in a cell: one, several, or none where it is empty or could not be read."""
    value = row.values.get(name)
    if isinstance(value, str):
        return (value,) if value else ()
    return value or ()


def _finder(refers: Reference) -> Finder[Any]:
    key = (refers.by, refers.within[0]) if refers.within else (refers.by,)
    return Finder(refers.model, key)


def _key(row: SheetRow, name: str, inner: str) -> tuple[Any, ...]:
    return (fold(name), fold(row.values[inner])) if inner else (fold(name),)


def _nothing(cell: str, inside: Any, refers: Reference, near: _Near) -> str:
    where = f" of {inside}" if inside is not None else ""
    guess = near.of(cell, inside)
    told = f" Did you mean {guess}?" if guess else ""
    return f"there is no {refers.words} {quoted(cell)}{where}.{told}"
