"""Cells as text, whichever kind of file they came from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time

Row = tuple[int, list[str]]  # its number as the spreadsheet counts, and its cells

# A spreadsheet keeps 15 figures of a number; what is longer has lost its end already.
MOST_FIGURES = 15
MOST_QUOTED = 40
STARTS_FORMULA = frozenset("=+-@\t\r＝＋－＠")
_NOUGHTS = re.compile(r"0+")


class FromNumber(str):
    """Text of a cell that held a number: noughts in front of it are lost, if there were any."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Flaw:
    """A cell that cannot be taken as it is: a formula, an error; ``column`` counts from nought."""

    row: int
    column: int
    words: str


@dataclass(frozen=True, slots=True)
class Grid:
    """The rows of one worksheet that hold anything, the headings first, and what was told of it."""

    rows: list[Row]
    notes: tuple[str, ...] = ()
    flaws: tuple[Flaw, ...] = ()

    @property
    def headings(self) -> list[str]:
        return self.rows[0][1] if self.rows else []

    @property
    def body(self) -> list[Row]:
        return self.rows[1:]


def plain(value: object, number_format: str = "General") -> str:
    """One value of a workbook as text. Raises ValueError with words for a number too long."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return FromNumber(_figures(value, number_format))
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return tidy(str(value))


def tidy(text: str) -> str:
    """Text without blanks at its ends, every kind of blank made the plain one.

    An apostrophe that an export set before a sign that would start a formula is taken away again.
    """
    text = text.replace("\xa0", " ").replace("\u202f", " ").replace("\r\n", "\n").strip()
    return text[1:] if text[:1] == "'" and text[1:2] in STARTS_FORMULA else text


def filled(rows: Iterator[Row]) -> Iterator[Row]:
    """The rows that hold anything at all."""
    return (row for row in rows if any(row[1]))


def quoted(text: str) -> str:
    """What a cell holds, short enough to stand in a sentence, signs that cannot be seen told."""
    cut = text if len(text) <= MOST_QUOTED else text[: MOST_QUOTED - 1] + "…"
    return "“" + "".join(s if s.isprintable() else f"\\x{ord(s):02x}" for s in cut) + "”"


def letters(column: int) -> str:
    """The name that a spreadsheet gives to a column: 1 is A, 27 is AA."""
    name = ""
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def _figures(value: int | float, number_format: str) -> str:
    if abs(value) >= 10**MOST_FIGURES:
        raise ValueError(
            "this number has more figures than a spreadsheet keeps: format the cell as text and "
            "type it again."
        )
    if value == int(value):
        whole = str(int(value))
        # 0123 typed into a cell formatted 0000 is kept as 123 and shown as 0123.
        return whole.zfill(len(number_format)) if _NOUGHTS.fullmatch(number_format) else whole
    return format(value, f".{MOST_FIGURES}g")
