"""Metric without construction: 155-15, 185 70 15.

At the counter nearly always a radial, on an old sidewall either: the construction stays open
and every reading is listed, the radial one first.
"""

from __future__ import annotations

import re

from inventory.markings.size import limits, metric_plain, metric_profile
from inventory.markings.size.grammar import (
    RIM,
    RIM_EXPECTED,
    SEP,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import BELTED, BIAS, RADIAL, Size

NAME = "metric dash"

GRAMMAR = Grammar(
    Piece(metric_profile.PREFIX, "a width"),
    Piece(r"(?P<width>\d{3})(?!\d)", "a width (three figures)"),
    # No profile is below 25 and no rim above 24, so that a load index may follow: 155 15 86.
    Piece(rf"(?:{SEP}(?P<aspect>2[5-9]|[3-9]\d))?", "a profile (two figures)"),
    Piece(SEP, "a dash and a rim diameter"),
    Piece(RIM, RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    least, most = (105, 365) if m["aspect"] else (115, 245)
    width = limits.width_mm(m["width"], least, most)
    aspect = limits.aspect(m["aspect"]) if m["aspect"] else None
    rim = limits.rim_in(m["rim"])
    if width is None:
        return miss(m, "width", limits.WIDTH_EXPECTED)
    if m["aspect"] and aspect is None:
        return miss(m, "aspect", limits.ASPECT_EXPECTED)
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if m["prefix"] and aspect is None:
        return miss(m, "width", "a width and a profile after a prefix")
    stem = f"{m['prefix'] or ''}{width}" + (f"/{aspect}" if aspect else "")
    readings = candidates(stem, f"{rim:g}", "RDB" if aspect else "RD")
    return Size(
        canonical=f"{stem}-{rim:g}",
        family=NAME,
        prefix=m["prefix"],
        width_mm=width,
        aspect=aspect,
        rim_in=rim,
        possible_constructions=(RADIAL, BIAS, BELTED) if aspect else (RADIAL, BIAS),
        candidates=readings,
    )


def candidates(stem: str, rim: str, letters: str) -> tuple[Size, ...]:
    """The same figures with each construction letter in turn."""
    family = metric_profile.FAMILY if "/" in stem else metric_plain.FAMILY
    found = (family.grammar.match(f"{stem} {letter} {rim}") for letter in letters)
    built = (family.build(m) for m in found if m)
    return tuple(size for size in built if isinstance(size, Size))


def half(width: int, rim: float) -> Size:
    """The metric half of a dual mark whose other half is an inch size: a cross-ply."""
    return Size(
        canonical=f"{width}-{rim:g}",
        family=NAME,
        width_mm=width,
        construction=BIAS,
        possible_constructions=(BIAS,),
        rim_in=rim,
    )


FAMILY = Family(NAME, GRAMMAR, build)
