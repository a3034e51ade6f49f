"""Inch sizes: 5.60-15 (cross-ply), 5.60 S 15 (with a speed letter), 7.50 R 16 (radial).

An inch size with a dash is cross-ply; a radial one says R. A width with one decimal is the same
width typed short (5.6-15), except in the ultra-low series, where 6.5-13 and 6.50-13 are two
tyres: both readings are listed (series: UN R30 Annex 5 Table I, from memory).
"""

from __future__ import annotations

import re
from dataclasses import replace

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
from inventory.markings.size.model import BIAS, RADIAL, Size

NAME = "inch"
ULTRA_LOW_NAME = "inch ultra-low"
ULTRA_LOW = frozenset({"5.9-10", "6.5-13", "6.9-13", "7.3-13"})

GRAMMAR = Grammar(
    Piece(rf"(?P<width>{INCHES})(?![\d.O])", "a width in inches (such as 5.60)"),
    Piece(
        rf"(?:{SEP}|{LOOSE}(?:(?P<speed>[SHVQTZ]) ?)?(?P<construction>R){LOOSE}"
        rf"|{LOOSE}(?P<bias_speed>[SHV]){LOOSE})",
        "a dash or a letter R",
    ),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    figures = m["width"]
    # Three figures before an R are metric up to 445: 345 R 15 lacks its profile.
    least = 4.5 if m["construction"] and "." not in figures else 2.0
    width = limits.width_in(figures, least)
    rim = limits.rim_in(m["rim"])
    if width is None:
        return miss(m, "width", limits.INCHES_EXPECTED)
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if m["construction"]:
        return radial(width, rim, m["speed"] or "")
    size = cross_ply(width, rim, m["bias_speed"] or "")
    short = f"{figures}-{rim:g}"
    if short not in ULTRA_LOW or m["bias_speed"]:
        return size
    low = replace(size, canonical=short, family=ULTRA_LOW_NAME)
    return replace(low, candidates=(low, size))


def cross_ply(width: float, rim: float, speed: str = "") -> Size:
    """An inch size as cross-ply tyres carry it."""
    middle = f" {speed} " if speed else "-"
    return Size(
        canonical=f"{limits.inches(width)}{middle}{rim:g}",
        family=NAME,
        width_in=width,
        construction=BIAS,
        possible_constructions=(BIAS,),
        speed_in_size=speed or None,
        rim_in=rim,
    )


def radial(width: float, rim: float, speed: str = "") -> Size:
    """An inch size on a radial tyre."""
    return Size(
        canonical=f"{limits.inches(width)} {speed}R {rim:g}",
        family=NAME,
        width_in=width,
        construction=RADIAL,
        possible_constructions=(RADIAL,),
        speed_in_size=speed or None,
        rim_in=rim,
    )


FAMILY = Family(NAME, GRAMMAR, build)
