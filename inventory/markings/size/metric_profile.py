"""Metric with profile and construction: 185/70 R 15, 185/70 VR 15, 185/70 B 13, T125/70 D 15."""

from __future__ import annotations

import re

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    LOOSE,
    RIM,
    RIM_EXPECTED,
    SEP,
    SPEED_LETTERS,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import Size

NAME = "metric with profile"
PREFIX = r"(?:(?P<prefix>LT|P|T) ?)?"

GRAMMAR = Grammar(
    Piece(PREFIX, "a width"),
    Piece(r"(?P<width>\d{3})(?!\d)", "a width (three figures in mm, or inches such as 5.60)"),
    Piece(SEP, "a slash and a profile, a letter R, or a dash and a rim diameter"),
    Piece(r"(?P<aspect>\d\d)(?![\d.])", "a profile (two figures)"),
    Piece(
        rf"{LOOSE}(?P<speed>[{SPEED_LETTERS}]?) ?(?P<construction>[RDB])",
        "a construction letter and a rim diameter (such as R 15)",
    ),
    Piece(LOOSE + RIM, RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    width = limits.width_mm(m["width"], 105, 365)
    aspect = limits.aspect(m["aspect"])
    rim = limits.rim_in(m["rim"])
    if width is None:
        return miss(m, "width", limits.WIDTH_EXPECTED)
    if aspect is None:
        return miss(m, "aspect", limits.ASPECT_EXPECTED)
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if m["speed"] and m["construction"] != "R":
        return miss(m, "speed", "R after a speed letter")
    construction = limits.CONSTRUCTION[m["construction"]]
    prefix = m["prefix"] or ""
    return Size(
        canonical=f"{prefix}{width}/{aspect} {m['speed']}{m['construction']} {rim:g}",
        family=NAME,
        prefix=m["prefix"],
        width_mm=width,
        aspect=aspect,
        construction=construction,
        possible_constructions=(construction,),
        speed_in_size=m["speed"] or None,
        rim_in=rim,
    )


FAMILY = Family(NAME, GRAMMAR, build)
