"""Competition sizes in millimetres: 245/575-13 (section mm / overall diameter mm - rim in)."""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import competition, limits
from inventory.markings.size.grammar import Family, Miss, miss
from inventory.markings.size.model import Size

NAME = "competition mm"


def build(m: re.Match[str]) -> Size | Miss:
    section, overall = int(m["section"]), int(m["overall"])
    rim = limits.rim_in(m["rim"])
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if not 100 <= section <= 420:
        return miss(m, "section", "a section in mm (100 to 420)")
    if not 460 <= overall <= 800 or not competition.is_a_tyre(section, overall, rim):
        return miss(m, "overall", "an overall diameter in mm that suits section and rim")
    size = competition.base(f"{section}/{overall}", NAME, rim, m["construction"])
    return replace(size, section_mm=section, overall_mm=overall)


FAMILY = Family(NAME, competition.grammar(r"\d{3}", r"\d{3}", "mm"), build)
