"""How a family of size designations is described: pieces in order, then what they mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from inventory.markings.size.model import Size

# Between two figures anything parts them; before and after a letter nothing needs to.
SEP = r"(?: ?[-/X] ?| )"
LOOSE = r"(?: ?[-/] ?| ?)"
RIM = r"(?P<rim>\d{1,2}(?:\.5)?)(?![\d.O])"
INCHES = r"\d{1,2}\.\d{1,2}|\d{3,4}"
NO_MORE = r"(?![\d.OILSZ])"  # a number ends here, and not with a letter typed for a figure
SPEED_LETTERS = "QSTUHVZ"  # letters met inside radial sizes (SR, HR, VR, ZR, ...)

RIM_EXPECTED = "a rim diameter (8 to 24 inches, or an old millimetre rim such as 390 or 400)"


@dataclass(frozen=True, slots=True)
class Miss:
    """Where a reading failed in the plain text, and what would have been readable there.

    ``extent`` is how much of the text has the right shape; ``size_end`` is where a size that
    could be read ended, when only what follows it could not (0 otherwise).
    """

    position: int
    expected: str
    extent: int = 0
    size_end: int = 0


@dataclass(frozen=True, slots=True)
class Piece:
    """One part of a designation: its pattern, and its name in a sentence."""

    pattern: str
    expected: str


class Grammar:
    """Pieces that follow each other from the start of the text."""

    def __init__(self, *pieces: Piece) -> None:
        self.pieces = pieces
        self.match = re.compile("".join(p.pattern for p in pieces)).match

    def reach(self, text: str) -> Miss:
        """How far the pieces get in a text that they do not match, and what should follow."""
        for count in range(len(self.pieces) - 1, 0, -1):
            found = _prefix(self, count).match(text)
            if found:
                return Miss(found.end(), self.pieces[count].expected, found.end())
        return Miss(0, self.pieces[0].expected)


@cache
def _prefix(grammar: Grammar, count: int) -> re.Pattern[str]:
    return re.compile("".join(p.pattern for p in grammar.pieces[:count]))


@dataclass(frozen=True, slots=True)
class Family:
    """One way of writing sizes. ``build`` gives the size, without what follows the rim.

    ``guides`` says whether a text that breaks off in this family's shape was likely meant so.
    """

    name: str
    grammar: Grammar
    build: Callable[[re.Match[str]], Size | Miss]
    guides: bool = True


def miss(match: re.Match[str], group: str, expected: str) -> Miss:
    """A part that has the right shape and cannot be meant."""
    return Miss(match.start(group), expected, match.end())
