"""What the three competition families share: section / overall diameter - rim.

Makers print these forms on cross-ply and radial tyres alike: without an R the construction
stays open. Some makers print the tread's width for the section (common practice, no source):
what the maker states for a tyre governs.
"""

from __future__ import annotations

from inventory.markings.size import limits
from inventory.markings.size.grammar import LOOSE, NO_MORE, RIM, SEP, Grammar, Piece
from inventory.markings.size.model import BELTED, BIAS, RADIAL, Size

MM_PER_INCH = 25.4
LEAST_SIDEWALL_MM = 40  # between rim and tread; no tyre of these forms has less


def grammar(section: str, overall: str, unit: str) -> Grammar:
    """Section, overall diameter and rim, the first two as the family writes them."""
    return Grammar(
        Piece(rf"(?P<section>{section}){NO_MORE}", f"a section in {unit}"),
        Piece(r"(?: ?[/X] ?| )", "a slash and an overall diameter"),
        Piece(rf"(?P<overall>{overall}){NO_MORE}", f"an overall diameter in {unit}"),
        Piece(rf"(?:{LOOSE}(?P<construction>R){LOOSE}|{SEP})", "a dash or a letter R"),
        Piece(RIM, limits.INCH_RIM_EXPECTED),
    )


def is_a_tyre(section_mm: float, overall_mm: float, rim: float) -> bool:
    """Whether the figures leave a sidewall on this rim, and none higher than the tyre is wide."""
    sidewall = (overall_mm - rim * MM_PER_INCH) / 2
    return LEAST_SIDEWALL_MM <= sidewall <= section_mm


def base(pair: str, family: str, rim: float, construction: str | None) -> Size:
    """The size without its section and diameter."""
    return Size(
        canonical=f"{pair}{' R ' if construction else '-'}{rim:g}",
        family=family,
        rim_in=rim,
        construction=RADIAL if construction else None,
        possible_constructions=(RADIAL,) if construction else (RADIAL, BIAS, BELTED),
    )
