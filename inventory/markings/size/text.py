"""Typed text made plain: one spelling of spaces, dashes, times signs, points and fractions."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import NoReturn

from inventory.markings.errors import UnreadableMarking

MAX_LENGTH = 60  # the longest mark known, a dual one with its service description, has half of it

_PLAIN = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-/()+")
_WRITTEN_OTHERWISE = {
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d", "-"),
    **dict.fromkeys("×✕✖⨯*", "X"),
    **dict.fromkeys("⁄∕", "/"),
    "&": "+",
    "½": ".5",
    "¼": ".25",
    "¾": ".75",
}
_ENDS = " \t\r\n"  # a scanner or a copied cell ends with these
_INCH_MARKS = frozenset("\"″”“'′’")


@dataclass(frozen=True, slots=True)
class Plain:
    """The plain text, and for each of its characters the place in what was typed."""

    text: str
    places: tuple[int, ...]
    end: int

    def place(self, position: int) -> int:
        """Where in the typed text this position of the plain text is."""
        return self.places[position] if position < len(self.places) else self.end


def plain(typed: str) -> Plain:
    """The text in capitals with single spaces, ``X`` for every times sign, ``-`` for every dash.

    Refuses, at once, text that is too long, control characters and other scripts.
    """
    if len(typed) > MAX_LENGTH:
        raise UnreadableMarking(
            typed, MAX_LENGTH, f"the end of the size (at most {MAX_LENGTH} characters)"
        )
    out: list[str] = []
    places: list[int] = []
    end = len(typed.rstrip(_ENDS))
    for i in range(len(typed) - len(typed.lstrip(_ENDS)), end):
        for c in _spell(typed, i):
            if c == " " and (not out or out[-1] == " "):
                continue
            out.append(c)
            places.append(i)
    return Plain("".join(out).rstrip(" "), tuple(places), end)


def _spell(typed: str, i: int) -> str:
    c = typed[i]
    if c in _PLAIN or c == " ":
        return c
    if c in ".,":
        return _point(typed, i)
    if c.isascii() and c.upper() in _PLAIN:
        return c.upper()
    if c in _INCH_MARKS and typed[i - 1 : i].isdigit():
        return " "
    if other := _WRITTEN_OTHERWISE.get(c):
        return other
    if unicodedata.category(c) == "Zs":
        return " "
    if "\uff01" <= c <= "\uff5e":  # the full-width forms of ASCII, as some keyboards send them
        return _spell(typed[:i] + chr(ord(c) - 0xFEE0) + typed[i + 1 :], i)
    _refuse(typed, i)


def _point(typed: str, i: int) -> str:
    """A point between two figures is a decimal point; else full stops vanish, commas part."""
    between = typed[i - 1 : i].isdigit() and typed[i + 1 : i + 2].isdigit()
    if between:
        return "."
    return " " if typed[i] == "," else ""


def _refuse(typed: str, i: int) -> NoReturn:
    c = typed[i]
    if unicodedata.category(c).startswith("C"):
        said = f"a letter or figure instead of an invisible control character (U+{ord(c):04X})"
    elif c.isalpha():
        said = f"a letter from A to Z or a figure, not {unicodedata.name(c, 'this sign').lower()},"
    else:
        said = "a letter, a figure, a space, a dash, a slash or an x"
    raise UnreadableMarking(typed, i, said)
