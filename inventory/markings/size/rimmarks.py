"""The rim marks there are, from tables/rims.csv: what each stands for and where that is from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from inventory.markings.tables import rows


@dataclass(frozen=True, slots=True)
class RimMark:
    """One mark: "15" or "16.5" (inches), "380" or "400" (millimetres)."""

    mark: str
    unit: str
    diameter_mm: int
    bead: str
    names_inch: str | None
    source: str


@cache
def rim_marks() -> dict[str, RimMark]:
    """Every rim mark by its text; inch codes are below 100 and millimetre marks above."""
    return {row["mark"]: _mark(row) for row in rows("rims")}


def _mark(row: dict[str, str]) -> RimMark:
    return RimMark(
        mark=row["mark"],
        unit=row["unit"],
        diameter_mm=int(row["diameter_mm"]),
        bead=row["bead"],
        names_inch=row["names_inch"] or None,
        source=row["source"],
    )
