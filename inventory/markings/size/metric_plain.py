"""Metric with construction, without profile: 165 R 15, 165 HR 15, 185 R 14 C.

The profile is in the published tables (80 to 82 %); the text does not say it, so it stays None.
"""

from __future__ import annotations

import re

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    LOOSE,
    RIM,
    RIM_EXPECTED,
    SPEED_LETTERS,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import Size

NAME = "metric without profile"

GRAMMAR = Grammar(
    Piece(r"(?P<width>\d{3})(?!\d)", "a width (three figures)"),
    Piece(
        rf"{LOOSE}(?P<speed>[{SPEED_LETTERS}]?) ?(?P<construction>[RDB])",
        "a construction letter and a rim diameter (such as R 15)",
    ),
    Piece(LOOSE + RIM, RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    width = limits.width_mm(m["width"], 115, 255)
    rim = limits.rim_in(m["rim"])
    if width is None:
        return miss(m, "width", limits.WIDTH_EXPECTED)
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if m["speed"] and m["construction"] != "R":
        return miss(m, "speed", "R after a speed letter")
    construction = limits.CONSTRUCTION[m["construction"]]
    return Size(
        canonical=f"{width} {m['speed']}{m['construction']} {rim:g}",
        family=NAME,
        width_mm=width,
        construction=construction,
        possible_constructions=(construction,),
        speed_in_size=m["speed"] or None,
        rim_in=rim,
    )


FAMILY = Family(NAME, GRAMMAR, build)
