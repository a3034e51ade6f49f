"""Letter sizes: FR70-14, LR78-15 (radial), F70-14.

The letter stands for a load class. Without an R the tyre is cross-ply or belted-bias: the text
does not say which, but it is never a radial.
"""

from __future__ import annotations

import re

from inventory.markings.size import limits
from inventory.markings.size.grammar import (
    LOOSE,
    RIM,
    SEP,
    Family,
    Grammar,
    Miss,
    Piece,
    miss,
)
from inventory.markings.size.model import BELTED, BIAS, RADIAL, Size

NAME = "letter size"

GRAMMAR = Grammar(
    Piece(
        r"(?P<letter>[A-HJ-N]) ?(?P<radial>R?) ?(?P<aspect>50|60|70|75|78)(?![\d.])",
        "a size letter and a profile (such as FR70)",
    ),
    Piece(
        rf"(?:{SEP}|{LOOSE}(?P<speed>[SHV]?) ?(?P<construction>R){LOOSE})",
        "a dash and a rim diameter",
    ),
    Piece(RIM, limits.INCH_RIM_EXPECTED),
)


def build(m: re.Match[str]) -> Size | Miss:
    rim = limits.rim_in(m["rim"])
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    radial = bool(m["radial"] or m["construction"])
    speed = m["speed"] or ""
    middle = f" {speed}R " if speed else "-"
    return Size(
        canonical=f"{m['letter']}{'R' if radial else ''}{m['aspect']}{middle}{rim:g}",
        family=NAME,
        letter=m["letter"],
        aspect=int(m["aspect"]),
        construction=RADIAL if radial else None,
        possible_constructions=(RADIAL,) if radial else (BIAS, BELTED),
        speed_in_size=speed or None,
        rim_in=rim,
    )


FAMILY = Family(NAME, GRAMMAR, build)
