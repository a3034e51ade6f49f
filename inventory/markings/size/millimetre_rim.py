"""Metric on a millimetre rim: 165 R 400, 165-380, 190/65 R 390."""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    LOOSE,
    RIM_EXPECTED,
    SEP,
    SPEED_LETTERS,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import BIAS, RADIAL, Size

NAME = "millimetre rim"

GRAMMAR = Grammar(
    Piece(r"(?P<width>\d{3})(?!\d)", "a width (three figures)"),
    Piece(rf"(?:{SEP}(?P<aspect>\d\d)(?![\d.]))?", "a profile (two figures)"),
    Piece(
        rf"(?:{LOOSE}(?P<speed>[{SPEED_LETTERS}]?) ?(?P<construction>[RD]){LOOSE}|{SEP})",
        "a letter R or a dash",
    ),
    Piece(r"(?P<rim>\d{3})(?!\d)", RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    width = limits.width_mm(m["width"], 105, 285)
    aspect = limits.aspect(m["aspect"]) if m["aspect"] else None
    rim = limits.rim_mm(m["rim"])
    if width is None:
        return miss(m, "width", limits.WIDTH_EXPECTED)
    if m["aspect"] and aspect is None:
        return miss(m, "aspect", limits.ASPECT_EXPECTED)
    if rim is None:
        return miss(m, "rim", "a millimetre rim (315 to 415, such as 380, 390 or 400)")
    if m["speed"] and m["construction"] != "R":
        return miss(m, "speed", "R after a speed letter")
    stem = f"{width}/{aspect}" if aspect else f"{width}"
    size = Size(canonical="", family=NAME, width_mm=width, aspect=aspect, rim_mm=rim)
    if letter := m["construction"]:
        return _stated(size, stem, letter, m["speed"] or "")
    return replace(
        size,
        canonical=f"{stem}-{rim}",
        possible_constructions=(RADIAL, BIAS),
        candidates=(_stated(size, stem, "R", ""), _stated(size, stem, "D", "")),
    )


def _stated(size: Size, stem: str, letter: str, speed: str) -> Size:
    construction = limits.CONSTRUCTION[letter]
    return replace(
        size,
        canonical=f"{stem} {speed}{letter} {size.rim_mm}",
        construction=construction,
        possible_constructions=(construction,),
        speed_in_size=speed or None,
    )


FAMILY = Family(NAME, GRAMMAR, build)
