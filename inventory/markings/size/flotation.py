"""Flotation sizes, overall diameter first: 31x10.50 R 15 LT, 31x10.50-15."""

from __future__ import annotations

import re

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    INCHES,
    LOOSE,
    NO_MORE,
    RIM,
    SEP,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import BIAS, RADIAL, Size

NAME = "flotation"

GRAMMAR = Grammar(
    Piece(r"(?:(?P<prefix>LT) ?)?(?P<overall>\d\d(?:\.\d{1,2})?)" + NO_MORE, "an overall diameter"),
    Piece(rf"(?P<times>{SEP})", "an x and a section width"),
    Piece(rf"(?P<section>\d{{1,2}}(?:\.\d{{1,2}})?|{INCHES})(?![\d.])", "a section width"),
    Piece(rf"(?:{LOOSE}(?P<construction>R){LOOSE}|{SEP})", "a letter R or a dash"),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    overall = limits.whole(float(m["overall"]))
    section = _section(m["section"])
    rim = limits.rim_in(m["rim"])
    if not 20 <= overall <= 44:
        return miss(m, "overall", "an overall diameter in inches (20 to 44)")
    if section is None:
        return miss(m, "section", "a section width in inches (6 to 18)")
    if rim is None or rim > overall - 4:
        return miss(m, "rim", "a rim diameter smaller than the tyre")
    radial = m["construction"] is not None
    if "/" in m["times"] and not radial:  # 26.0/10.0-15 turns the competition order round
        return miss(m, "times", "an x between overall diameter and section")
    middle = " R " if radial else "-"
    return Size(
        canonical=f"{m['prefix'] or ''}{overall:g}x{limits.inches(section)}{middle}{rim:g}",
        family=NAME,
        prefix=m["prefix"],
        width_in=section,  # the section of a flotation size is its nominal width as well
        section_in=section,
        overall_in=overall,
        construction=RADIAL if radial else BIAS,
        possible_constructions=(RADIAL if radial else BIAS,),
        rim_in=rim,
    )


def _section(figures: str) -> float | None:
    width = int(figures) / 100 if figures.isdigit() and len(figures) > 2 else float(figures)
    return limits.whole(width) if 6 <= width <= 18 else None


FAMILY = Family(NAME, GRAMMAR, build)
