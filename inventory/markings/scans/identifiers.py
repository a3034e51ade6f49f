"""GS1 application identifiers: how long the data of each are, and which signs they may have.

Lengths and check digits: GS1 Syntax Dictionary (github.com/gs1/gs1-syntax-dictionary, ff2eb4bf).
Which need no separator behind them: GS1 General Specifications, figure 7.8.5-2, by the first two
figures (number from memory). The 82 signs: the same, section 7.11 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_letters, digits

from inventory.markings.identifiers import check_digit

SIGNS = frozenset(ascii_letters + digits + "!\"%&'()*+,-./:;<=>?_")
_FIGURES = frozenset(digits)
_DATES = ("11", "12", "13", "15", "16", "17")
_KEYS = {"00": 18, "01": 14, "02": 14, **dict.fromkeys(map(str, range(410, 418)), 13)}


@dataclass(frozen=True, slots=True)
class Identifier:
    """One application identifier: ``most`` signs, ``least`` of them, figures only or not."""

    name: str
    most: int
    least: int = 1
    figures: bool = False

    @property
    def fixed(self) -> bool:
        """Whether its data are always so long; then no separator follows."""
        return self.least == self.most

    @property
    def wanted(self) -> str:
        """Its data in words."""
        kind = "figures" if self.figures else "letters, figures or signs"
        length = f"{self.most}" if self.fixed else f"{self.least} to {self.most}"
        return f"{length} {kind} of ({self.name})"

    def fault(self, data: str) -> tuple[int, str] | None:
        """The place in ``data`` where they go wrong, and what was expected; None if they do not."""
        allowed = _FIGURES if self.figures else SIGNS
        for place, sign in enumerate(data[: self.most]):
            if sign not in allowed:
                return place, self.wanted
        if len(data) < self.least or len(data) > self.most:
            return min(len(data), self.most), self.wanted
        if self.name in _KEYS and int(data[-1]) != (right := check_digit(data[:-1])):
            return len(data) - 1, f"the check digit {right} of ({self.name})"
        return _day_fault(data, self.name) if self.name in _DATES else None


def _day_fault(data: str, name: str) -> tuple[int, str] | None:
    """A date is year, month, day; day 00 means the whole month."""
    if not 1 <= int(data[2:4]) <= 12:
        return 2, f"a month 01 to 12 in the date of ({name})"
    return None if int(data[4:]) <= 31 else (4, f"a day 00 to 31 in the date of ({name})")


def _fixed(name: str, length: int) -> Identifier:
    return Identifier(name, length, length, figures=True)


def _known() -> dict[str, Identifier]:
    rows = [_fixed(name, length) for name, length in _KEYS.items()]
    rows += [_fixed(name, 6) for name in _DATES]
    rows += [_fixed("20", 2), _fixed("402", 17), _fixed("422", 3), _fixed("426", 3)]
    rows += [_fixed(f"{kind}{n}", 6) for kind in range(310, 370) for n in range(6)]
    rows += [Identifier(name, 20) for name in ("10", "21", "22", "243", "254", "420")]
    rows += [Identifier(name, 8, figures=True) for name in ("30", "37")]
    rows += [Identifier("242", 6, figures=True), Identifier("421", 12, 4)]
    rows += [Identifier(n, 30) for n in ("240", "241", "250", "251", "400", "401", "403", "90")]
    rows += [Identifier(str(number), 90) for number in range(91, 100)]
    return {row.name: row for row in rows}


KNOWN = _known()
NO_SEPARATOR = frozenset(
    {*("00", "01", "02", "03", "04", "20", "31", "32", "33", "34", "35", "36", "41"),
     *map(str, range(11, 20))}
)  # fmt: skip


def identifier_at(text: str, place: int) -> Identifier | None:
    """The application identifier that begins at a place of the text. No one begins another."""
    return next(
        (KNOWN[name] for n in (2, 3, 4) if (name := text[place : place + n]) in KNOWN), None
    )
