"""Competition sizes in centimetres: 20/54-13 (section cm / overall diameter cm - rim in)."""

from __future__ import annotations

import re
from dataclasses import replace

from inventory.markings.size import competition, limits
from inventory.markings.size.grammar import Family, Miss, miss
from inventory.markings.size.model import Size

NAME = "competition cm"


def build(m: re.Match[str]) -> Size | Miss:
    section, overall = int(m["section"]), int(m["overall"])
    rim = limits.rim_in(m["rim"])
    if rim is None:
        return miss(m, "rim", limits.INCH_RIM_EXPECTED)
    if not 10 <= section <= 42:
        return miss(m, "section", "a section in cm (10 to 42)")
    if overall > 80 or not competition.is_a_tyre(section * 10, overall * 10, rim):
        return miss(m, "overall", "an overall diameter in cm that suits section and rim")
    size = competition.base(f"{section}/{overall}", NAME, rim, m["construction"])
    return replace(size, section_cm=section, overall_cm=overall)


FAMILY = Family(NAME, competition.grammar(r"\d\d", r"\d\d", "cm"), build)
