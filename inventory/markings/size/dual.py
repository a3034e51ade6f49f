"""Dual designations: 4.40/4.50-21, 6.40/6.50-13, 185-14/7.35-14, 6.95/175-14.

The size is the first half; the other is its alternative. Two inch widths belong together when
they are within a quarter of each other, a metric and an inch width when they are within a
twentieth (155 is 6.10 in and goes with 6.15). Otherwise the pair is no dual mark.
"""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import inch, limits, metric_dash
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
from inventory.markings.size.model import RADIAL, Size

NAME = "dual"

_JOIN = rf"(?:{SEP}|{LOOSE}R{LOOSE})"

SHARED_RIM = Grammar(
    Piece(rf"(?P<first>{INCHES})(?![\d.O])", "a width"),
    Piece(SEP, "a slash and a second width"),
    Piece(rf"(?P<second>{INCHES})(?![\d.O])", "a second width"),
    Piece(rf"(?P<join>{_JOIN})", "a dash or a letter R"),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
)
WHOLE_HALVES = Grammar(
    Piece(rf"(?P<first>{INCHES})(?![\d.O])", "a width"),
    Piece(rf"(?P<join>{_JOIN})", "a dash or a letter R"),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
    Piece(r"(?: ?/ ?| )", "a slash and the other half"),
    Piece(rf"(?P<second>{INCHES})(?![\d.O])", "the width of the other half"),
    Piece(rf"(?P<join_2>{_JOIN})", "a dash or a letter R"),
    Piece(r"(?P<rim_2>\d{1,2}(?:\.5)?)(?![\d.])", "the rim of the other half"),
)


def build(m: re.Match[str]) -> Size | Miss:
    rim = limits.rim_in(m["rim"])
    radial = "R" in m["join"]
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if m.re.groupindex.get("rim_2"):
        if float(m["rim_2"]) != rim:
            return miss(m, "rim_2", f"the same rim in both halves ({rim:g})")
        if ("R" in m["join_2"]) != radial:
            return miss(m, "join_2", "one construction in both halves")
    first, second = _half(m["first"], rim, radial), _half(m["second"], rim, radial)
    if first is None or second is None or not _belong(first, second):
        return miss(m, "second", "a second width close to the first")
    if "." not in m[0] and None in (first.width_in, second.width_in):  # 185/735-14 is cm or mm
        return miss(m, "second", "a second width close to the first")
    return replace(first, canonical=_printed(first, second), alternatives=(second,))


def _half(figures: str, rim: float, radial: bool) -> Size | None:
    """A width with the shared rim: metric (three figures, 115 to 245) or inches."""
    width = limits.width_mm(figures, 115, 245) if "." not in figures else None
    if width is not None:
        radials = metric_dash.candidates(f"{width}", f"{rim:g}", "R")
        return radials[0] if radial else metric_dash.half(width, rim)
    inches = limits.width_in(figures)
    if inches is None:
        return None
    return inch.radial(inches, rim) if radial else inch.cross_ply(inches, rim)


def _belong(first: Size, second: Size) -> bool:
    one, other = _inches(first), _inches(second)
    if first.width_in is None and second.width_in is None:
        return False
    if first.width_in is None or second.width_in is None:
        return 0.95 <= other / one <= 1.05
    return 0.8 <= other / one <= 1.25 and one != other


def _inches(size: Size) -> float:
    return size.width_in if size.width_in is not None else (size.width_mm or 0) / 25.4


def _printed(first: Size, second: Size) -> str:
    """Two inch widths share the rim in print; a metric and an inch half are printed whole."""
    if first.width_in is None or second.width_in is None:
        return f"{first.canonical}/{second.canonical}"
    middle = " R " if first.construction == RADIAL else "-"
    pair = f"{limits.inches(first.width_in)}/{limits.inches(second.width_in)}"
    return f"{pair}{middle}{first.rim_in:g}"


FAMILIES = (Family(NAME, SHARED_RIM, build), Family(NAME, WHOLE_HALVES, build, guides=False))
