"""How one cell is read: a reader turns text into a value, or raises ``Unread`` with the reason."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from django.core.exceptions import ValidationError

from inventory.ground.fields import KEPT_IN_WORDS, refuse_controls
from inventory.ground.sheets.cells import FromNumber, quoted

Reader = Callable[[str], Any]
T = TypeVar("T")

_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", re.ASCII)
_WHOLE = re.compile(r"[+-]?[0-9]{1,15}", re.ASCII)
_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?", re.ASCII)
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+", re.ASCII)
_YES = frozenset({"yes", "y", "true", "1", "x"})
_NO = frozenset({"no", "n", "false", "0"})


class Unread(ValueError):
    """A cell that cannot be read; ``str()`` says why and what is wanted."""


def text(cell: str) -> str:
    """One line of text, without control characters."""
    if not cell.isprintable():
        _refuse(cell, frozenset())
    return cell


def words(cell: str) -> str:
    """A few sentences; ends of lines may stand in them."""
    if not cell.isprintable():
        _refuse(cell, KEPT_IN_WORDS)
    return cell


def code(cell: str) -> str:
    """A code: one line of text in which every run of blanks is one blank."""
    return " ".join(text(cell).split())


def figures(length: int) -> Reader:
    """Text of figures whose noughts matter: refused from a number cell that may have lost some."""

    def read(cell: str) -> str:
        if isinstance(cell, FromNumber) and len(cell) < length:
            raise Unread(
                f"{quoted(cell)} was kept as a number, so that noughts in front of it are lost: "
                "format the cell as text and type it again."
            )
        return code(cell)

    return read


def whole(cell: str) -> int:
    """A whole number."""
    if not _WHOLE.fullmatch(cell):
        raise Unread(f"{quoted(cell)} is not a whole number, written without any mark or unit.")
    return int(cell)


def number(cell: str) -> Decimal:
    """A number with a point."""
    if _COMMA.fullmatch(cell):
        pointed = quoted(cell.replace(",", "."))
        raise Unread(f"{quoted(cell)} has a comma: write {pointed} if that is meant.")
    if not _NUMBER.fullmatch(cell):
        raise Unread(f"{quoted(cell)} is not a number, such as 12.5, written without a unit.")
    return Decimal(cell)


def day(cell: str) -> date:
    """A day, as year-month-day."""
    match = _DAY.fullmatch(cell)
    if not match:
        raise Unread(
            f"{quoted(cell)} is not a day written as year-month-day, such as 2026-03-01 for the "
            "first of March."
        )
    try:
        return date(*(int(part) for part in match.groups()))
    except ValueError:
        raise Unread(f"{quoted(cell)} is no day of the calendar.") from None


def yes_no(cell: str) -> bool:
    """Yes or no."""
    said = cell.casefold()
    if said not in _YES | _NO:
        raise Unread(f"{quoted(cell)} is neither yes nor no.")
    return said in _YES


def choice(choices: Iterable[tuple[Any, Any]]) -> Reader:
    """One of a few words: as shown to people, or as the code; capitals do not matter.

    Of a label such as "tube-type: a tube always" what stands before the colon is enough.
    """
    pairs = [(value, str(label)) for value, label in choices]
    known: dict[str, Any] = {}
    for value, label in pairs:
        for name in (str(value), label, re.split("[:,(]", label)[0]):
            known.setdefault(_plain(name), value)
    wanted = ", ".join(label.split(":")[0] for _, label in pairs)

    def read(cell: str) -> Any:
        if _plain(cell) not in known:
            raise Unread(f"{quoted(cell)} is none of: {wanted}.")
        return known[_plain(cell)]

    return read


def many(one: Callable[[str], T]) -> Callable[[str], tuple[T, ...]]:
    """Several values in one cell, parted by ``;``. A value said twice is taken once."""

    def read(cell: str) -> tuple[T, ...]:
        parts = [part.strip() for part in cell.split(";")]
        return tuple(dict.fromkeys(one(part) for part in parts if part))

    return read


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").replace("-", " ").casefold().split())


def _refuse(cell: str, kept: frozenset[str]) -> None:
    try:
        refuse_controls(cell, kept)
    except ValidationError as error:
        raise Unread(" ".join(error.messages)) from None
