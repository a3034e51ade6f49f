"""Rims, matched on diameter and bead seat, never on a number alone.

Marks and diameters are in ``tables/rims.csv`` with their sources. 380 names the 15-inch rim and
400 a rim of its own; 16.5 has another bead seat than 16; a beaded edge stays on no other rim.
Whether a tyre may be fitted is for a qualified fitter and the wheel's own marking to say.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from inventory.markings.errors import UnreadableMarking
from inventory.markings.size import Size, read_size
from inventory.markings.size.model import BEADED_EDGE, STRAIGHT_SIDE
from inventory.markings.size.rimmarks import rim_marks

__all__ = ["Rim", "rim_from", "rim_of", "rims_match"]

MM_PER_INCH = 25.4
EXPECTED = "a rim diameter (such as 15, 16.5, 380 or 390)"

_MARK = re.compile(r"(?P<figures>\d{1,4}(?:\.\d)?) ?(?:IN|INCH|INCHES|MM|[\"″”])?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Rim:
    """A rim by what a tyre meets: diameter at the bead seat in whole mm, and the kind of seat.

    ``nominal`` is the mark as it stands ("15", "380", "580"). ``bead`` is "5-degree" (inch
    rims), "15-degree" (half codes), "metric" (315 to 415), "old millimetre" (400), "beaded edge",
    "straight side", or the last two with "or" between, where the mark leaves it open.
    """

    diameter_mm: int
    nominal: str
    bead: str


def rim_of(size: Size) -> Rim:
    """The rim that a size stands on."""
    nominal = f"{size.rim_in:g}" if size.rim_mm is None else f"{size.rim_mm}"
    return rim_from(nominal, " or ".join(size.possible_beads) or None)


def rim_from(mark: str | float, bead: str | None = None) -> Rim:
    """The rim of a mark: 15, "16.5", '15"', "380 mm"; numbers below 100 are inches.

    ``bead`` "beaded edge" or "straight side" allows any diameter; without it the mark must be in
    the table. Raises UnreadableMarking for anything else.
    """
    text = f"{mark:g}" if isinstance(mark, (int, float)) else mark.strip()
    found = _MARK.fullmatch(text) if len(text) <= 12 else None
    if found is None:
        raise UnreadableMarking(text, 0, EXPECTED)
    nominal = f"{float(found['figures']):g}"
    if bead is not None:
        return _by_bead(nominal, bead)
    known = rim_marks().get(nominal)
    if known is None:
        raise UnreadableMarking(text, 0, EXPECTED)
    return Rim(known.diameter_mm, nominal, known.bead)


def rims_match(a: Rim | Size | str | float, b: Rim | Size | str | float) -> bool:
    """Whether two rims (or the rims of two sizes or marks) are one in diameter and bead seat.

    Text is a rim mark or else a size. Raises UnreadableMarking for text that is neither.
    """
    one, other = _rim(a), _rim(b)
    return (one.diameter_mm, one.bead) == (other.diameter_mm, other.bead)


def _rim(given: Rim | Size | str | float) -> Rim:
    if isinstance(given, Rim):
        return given
    if isinstance(given, Size):
        return rim_of(given)
    if isinstance(given, str) and not _MARK.fullmatch(given.strip()[:60]):
        return rim_of(read_size(given))
    return rim_from(given)


def _by_bead(nominal: str, bead: str) -> Rim:
    if not set(bead.split(" or ")) <= {BEADED_EDGE, STRAIGHT_SIDE}:
        raise ValueError(f"A bead is “{BEADED_EDGE}” or “{STRAIGHT_SIDE}”, not “{bead}”.")
    diameter = float(nominal)
    return Rim(round(diameter if diameter >= 100 else diameter * MM_PER_INCH), nominal, bead)
