"""Inch sizes with a series letter: 5.50 L 15, 4.50 M 15, 6.00-15 L.

L and M name low series of cross-ply and racing tyres; the overall diameter does not follow from
the mark (common practice, no source).
"""

from __future__ import annotations

import re

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    INCHES,
    LOOSE,
    RIM,
    SEP,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import BIAS, Size

NAME = "inch with series letter"

INSIDE = Grammar(
    Piece(rf"(?P<width>{INCHES})(?![\d.O])", "a width in inches (such as 5.50)"),
    Piece(rf"{LOOSE}(?P<letter>[LM])", "a series letter (L or M)"),
    Piece(LOOSE + RIM, limits.INCH_RIM_EXPECTED),
)
BEHIND = Grammar(
    Piece(rf"(?P<width>{INCHES})(?![\d.O])", "a width in inches (such as 5.50)"),
    Piece(SEP, "a dash"),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
    Piece(r" ?(?P<letter>[LM])(?![A-Z0-9+])", "a series letter (L or M)"),
)


def build(m: re.Match[str]) -> Size | Miss:
    width = limits.width_in(m["width"])
    rim = limits.rim_in(m["rim"])
    if width is None:
        return miss(m, "width", limits.INCHES_EXPECTED)
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    return Size(
        canonical=f"{limits.inches(width)} {m['letter']} {rim:g}",
        family=NAME,
        width_in=width,
        construction=BIAS,
        possible_constructions=(BIAS,),
        letter=m["letter"],
        rim_in=rim,
    )


FAMILIES = (Family(NAME, INSIDE, build, guides=False), Family(NAME, BEHIND, build, guides=False))
