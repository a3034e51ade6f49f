"""Competition sizes in inches: 9.0/20.0-13 (section in / overall diameter in - rim in).

4.50/11.60-15 is written alike and is no such pair: its second figure is less than the rim. What
either figure measures is the maker's to say, so neither fills a field, and the overall diameter
is the stated one or unknown.
"""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import competition, limits
from inventory.markings.size.grammar import Family, Miss, miss
from inventory.markings.size.model import Size

NAME = "competition inch"
PAIR_NAME = "competition inch, diameter not stated"


def build(m: re.Match[str]) -> Size | Miss:
    section, overall = float(m["section"]), float(m["overall"])
    rim = limits.rim_in(m["rim"])
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if overall < rim and "." in m["section"] and "." in m["overall"]:
        return _no_pair(m, section, overall, rim)
    inch = competition.MM_PER_INCH
    if not 3 <= section <= 17:
        return miss(m, "section", "a section in inches (3 to 17)")
    if overall > 30 or not competition.is_a_tyre(section * inch, overall * inch, rim):
        return miss(m, "overall", "an overall diameter in inches that suits section and rim")
    pair = f"{_printed(section)}/{_printed(overall)}"
    size = competition.base(pair, NAME, rim, m["construction"])
    return replace(size, section_in=limits.whole(section), overall_in=limits.whole(overall))


def _no_pair(m: re.Match[str], first: float, second: float, rim: float) -> Size | Miss:
    """Two figures less than the rim, the second far from the first: not a dual mark either."""
    if not (3 <= first <= 8 and first * 1.25 < second <= 17):
        return miss(m, "overall", "an overall diameter larger than the rim, or a second width")
    return competition.base(f"{first:.2f}/{second:.2f}", PAIR_NAME, rim, m["construction"])


def _printed(value: float) -> str:
    """One decimal as usual on these, two where they are needed."""
    return f"{value:.1f}" if round(value, 1) == value else f"{value:.2f}"


FAMILY = Family(
    NAME,
    competition.grammar(r"\d{1,2}(?:\.\d{1,2})?", r"\d\d(?:\.\d{1,2})?", "inches"),
    build,
    guides=False,
)
