"""A typed date code or identification number made plain, or refused at once."""

from __future__ import annotations

import re
from dataclasses import dataclass

from inventory.markings.datecode.model import UnreadableDateCode

__all__ = ["EXPECTED", "LOOKS_LIKE", "Typed", "letter_warnings", "near", "plain", "to_figures"]

EXPECTED = "three or four figures (week and year), or a tyre identification number,"

LOOKS_LIKE = {"O": "0", "I": "1", "S": "5"}
_NEVER_USED = "GIOQSZ"  # letters not used in identification numbers, from memory
_LONGEST = 40
_MARK = re.compile(r"^D\.?O\.?T\.?[ :-]*", re.IGNORECASE)
_TRIANGLE = re.compile(r"\s*[◁◀◄△▲▵∆Δ<]+$")
_SIGNS = re.compile(r"[A-Z0-9 -]*")
_DATE_WORDS = re.compile(
    r"WEEK|WK|(?:^|[0-9 -])W ?[0-9]"
    r"|(?:^|[^A-Z])(?:JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEPT?|OCT|NOV|DEC)(?:[^A-Z]|$)"
)


@dataclass(frozen=True, slots=True)
class Typed:
    """The groups of a text in capitals, without "DOT", and whether "DOT" and a triangle stood."""

    text: str
    groups: tuple[str, ...]
    marked: bool
    triangle: bool

    @property
    def symbols(self) -> str:
        """All groups run together."""
        return "".join(self.groups)


def plain(text: str) -> Typed:
    """The groups of what was typed; raises UnreadableDateCode for what cannot be a code."""
    if len(text) > _LONGEST:
        raise UnreadableDateCode(text, _LONGEST, f"the end (at most {_LONGEST} characters)")
    upper = text.strip().upper()
    bare = _MARK.sub("", _TRIANGLE.sub("", upper))
    good = _SIGNS.match(bare)
    length = good.end() if good else 0
    marked = bool(_MARK.match(upper))
    if length < len(bare) or not bare.strip(" -") or (not marked and _DATE_WORDS.search(bare)):
        at = length if length < len(bare) else 0
        place = max(text.upper().find(bare[at : at + 1]), 0) if bare else len(text)
        raise UnreadableDateCode(text, place, EXPECTED, near(bare))
    groups = tuple(group for group in re.split("[ -]+", bare) if group)
    return Typed(text, groups, marked, bool(_TRIANGLE.search(upper)))


def to_figures(symbols: str) -> str | None:
    """The symbols as figures, O read as 0, I as 1, S as 5; None where they are no figures.

    Those letters are not used in identification numbers. At least two must be figures already.
    """
    figures = "".join(LOOKS_LIKE.get(symbol, symbol) for symbol in symbols)
    enough = sum(symbol.isdigit() for symbol in symbols) >= 2
    return figures if enough and figures.isdigit() else None


def letter_warnings(symbols: str, *, read: bool) -> tuple[str, ...]:
    """A sentence for each letter that identification numbers do not use.

    ``read`` tells that the letter was read as the figure it looks like.
    """
    found = sorted({symbol for symbol in symbols if symbol in _NEVER_USED})
    return tuple(_about(letter, read=read) for letter in found)


def _about(letter: str, *, read: bool) -> str:
    unused = f"The letter {letter} is not used in identification numbers"
    figure = LOOKS_LIKE.get(letter)
    if figure is None:
        return f"{unused}: look again."
    return f"{unused}: read as {figure}." if read else f"{unused}: is it a {figure}?"


def near(bare: str) -> str | None:
    """Week and year pulled out of "12/2023" or "week 12 of 23"; None where that is not plain."""
    match = re.fullmatch(r"[^0-9]*([0-9]{1,2})[^0-9]+(?:19|20)?([0-9]{2})[^0-9]*", bare)
    return f"{int(match[1]):02}{match[2]}" if match and 1 <= int(match[1]) <= 53 else None
