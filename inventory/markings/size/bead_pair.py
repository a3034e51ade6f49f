"""Overall diameter by section, no rim stated: 820x120 (beaded edge), 33x5 (straight-sided).

The rim is the diameter less two sections. Millimetres mean beaded edge. In inches a section of
3½ or less was made for both kinds of rim (from memory), so the bead stays open there and both
readings are listed, unless BE or SS is written behind.
"""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import limits
from inventory.markings.size.grammar import NO_MORE, SEP, Family, Grammar, Miss, Piece, miss
from inventory.markings.size.model import BEADED_EDGE, BIAS, STRAIGHT_SIDE, Size

OPEN = f"{BEADED_EDGE} or {STRAIGHT_SIDE}"
_FRACTIONS = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}
_QUARTERS = {"1/4": 0.25, "1/2": 0.5, "3/4": 0.75}

MILLIMETRES = Grammar(
    Piece(r"(?P<overall>\d{3,4})(?!\d)", "an overall diameter in mm"),
    Piece(SEP, "an x and a section"),
    Piece(r"(?P<section>\d{2,3})(?![\d.])(?: ?BE(?![A-Z]))?", "a section in mm"),
)
INCHES = Grammar(
    Piece(r"(?P<overall>\d\d)" + NO_MORE, "an overall diameter in inches"),
    Piece(r" ?X ?", "an x and a section"),
    Piece(
        r"(?P<section>\d)(?P<part>(?: ?\.\d{1,2}|[ -][13]/[24])?)(?![\d.])", "a section in inches"
    ),
    Piece(r"(?: ?(?P<bead>BE|SS)(?![A-Z]))?(?! ?[-R] ?\d)", "BE, SS or the end"),
)


def build_mm(m: re.Match[str]) -> Size | Miss:
    overall, section = int(m["overall"]), int(m["section"])
    if not 500 <= overall <= 1100:
        return miss(m, "overall", "an overall diameter in mm (500 to 1100)")
    if not 50 <= section <= 200 or overall - 2 * section < 300:
        return miss(m, "section", "a section in mm (50 to 200) that leaves room for a rim")
    return Size(
        canonical=f"{overall}x{section}",
        family=BEADED_EDGE,
        bead=BEADED_EDGE,
        possible_beads=(BEADED_EDGE,),
        section_mm=section,
        overall_mm=overall,
        rim_mm=overall - 2 * section,
        construction=BIAS,
        possible_constructions=(BIAS,),
    )


def build_in(m: re.Match[str]) -> Size | Miss:
    overall, section = int(m["overall"]), int(m["section"]) + _part(m["part"])
    rim = overall - 2 * section
    if section % 1 not in _FRACTIONS or not 2 <= section <= 9:
        return miss(m, "section", "a section in inches (2 to 9, with halves or quarters)")
    if not 15 <= rim <= 30 or rim != int(rim):
        return miss(m, "section", "a section that leaves a whole-inch rim")
    size = Size(
        canonical=f"{overall}x{int(section)}{_FRACTIONS[section % 1]}",
        family=OPEN,
        section_in=limits.whole(section),
        overall_in=overall,
        rim_in=int(rim),
        possible_beads=(BEADED_EDGE, STRAIGHT_SIDE),
        construction=BIAS,
        possible_constructions=(BIAS,),
    )
    beaded, straight = _with(size, BEADED_EDGE, " BE"), _with(size, STRAIGHT_SIDE, " SS")
    if m["bead"] == "BE":
        return beaded
    if section >= 4:
        return _with(size, STRAIGHT_SIDE, "")
    return straight if m["bead"] else replace(size, candidates=(beaded, straight))


def _part(text: str) -> float:
    """The part of an inch behind the whole ones: ".5", " 1/2", or nothing."""
    quarters = text.strip(" -")
    return _QUARTERS.get(quarters) or (float(quarters) if quarters.startswith(".") else 0.0)


def _with(size: Size, bead: str, mark: str) -> Size:
    return replace(
        size, bead=bead, possible_beads=(bead,), family=bead, canonical=size.canonical + mark
    )


FAMILIES = (
    Family(BEADED_EDGE, MILLIMETRES, build_mm),
    Family(OPEN, INCHES, build_in),
)
