"""What a size measures by its designation: a table's row, the formula, or a neighbour's section."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from statistics import median

from inventory.markings.aliases import search_keys, size_key
from inventory.markings.geometry.dimension import INCH
from inventory.markings.rims import rim_of
from inventory.markings.size import Size, read_size
from inventory.markings.size.model import RADIAL
from inventory.markings.tables import rows

__all__ = ["Nominal", "nominal"]

FORMULA = "UN R30 6.1.1, 6.1.2 (D = d + 2H; S = S1 + 0.4 (A - A1)), from memory"
NEIGHBOURS = "computed from UN R30 Annex 5 Table II, from memory"
_HALF = Decimal("0.5")
_THEORETICAL, _THEORETICAL_LOW, _LOW_PROFILE = Decimal("0.70"), Decimal("0.85"), 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Nominal:
    """A section: twice its height, and its width on a rim of ``width_on_in`` inches.

    ``measuring_rim_in`` is None where it is not known. ``basis``, ``source``, ``note`` and
    ``assumed`` as of a ``Dimension``.
    """

    twice_height_mm: Decimal
    width_mm: Decimal
    width_on_in: Decimal
    measuring_rim_in: Decimal | None
    basis: str
    source: str
    note: str = ""
    assumed: bool = False


def nominal(size: Size) -> Nominal | None:
    """The section of one reading of a size; None where its mark does not tell it.

    A table that has the size, or the same size written otherwise, comes first; then the formula,
    for a metric size with a profile; then, for a radial without one, the middle of what the same
    width measures on the rims that Table II has it on (within 4 mm of each other), as an
    assumption. A radial width that no table has is not guessed: profiles run from 79 to 82 %.
    """
    keys = (size_key(size), *sorted(search_keys(size))) if size.construction else ()
    tabled = next((_table()[key] for key in keys if key in _table()), None)
    if tabled is not None:
        return _commercial(tabled) if {"C", "LT"} & set(size.suffixes) else tabled
    if size.width_mm and size.aspect:
        return _by_formula(size, size.width_mm, size.aspect)
    if size.width_mm and size.construction == RADIAL:
        return _by_neighbours(size.width_mm)
    return None


def _by_formula(size: Size, width: int, aspect: int) -> Nominal:
    part = _THEORETICAL if aspect >= _LOW_PROFILE else _THEORETICAL_LOW
    return Nominal(
        twice_height_mm=2 * Decimal(width) * aspect / 100,
        width_mm=Decimal(width),
        width_on_in=width * part / INCH,
        measuring_rim_in=_measuring_rim(width, aspect) if size.rim_mm is None else None,
        basis="formula",
        source=FORMULA,
    )


def _by_neighbours(width: int) -> Nominal | None:
    same = _radials().get(width)
    if not same:
        return None
    return Nominal(
        twice_height_mm=Decimal(str(median(row.twice_height_mm for row in same))),
        width_mm=same[0].width_mm,
        width_on_in=same[0].width_on_in,
        measuring_rim_in=same[0].measuring_rim_in,
        basis="formula",
        source=NEIGHBOURS,
        note=f"Assumed: the section of a {width} mm radial on its tabled rims, on this rim.",
        assumed=True,
    )


def _commercial(row: Nominal) -> Nominal:
    note = f"Assumed to be as the car tyre. {row.note} UN R54, for commercial tyres, was not read."
    return replace(row, note=note, assumed=True)


def _measuring_rim(width: int, aspect: int) -> Decimal | None:
    """The nearest half inch to a part of the width, by profile; None for other profiles."""
    for row in rows("measuring_rims"):
        if int(row["aspect_from"]) <= aspect <= int(row["aspect_to"]):
            exact = width * Decimal(row["part_of_width"]) / INCH
            return _HALF * (exact / _HALF).to_integral_value()
    return None


@cache
def _table() -> dict[str, Nominal]:
    """The published rows by every key that the size is found under."""
    table: dict[str, Nominal] = {}
    for row in rows("dimensions"):
        size = read_size(row["designation"])
        table.update(dict.fromkeys(search_keys(size), _tabled(size, row)))
    return table


def _tabled(size: Size, row: dict[str, str]) -> Nominal:
    return Nominal(
        twice_height_mm=Decimal(row["overall_diameter_mm"]) - rim_of(size).diameter_mm,
        width_mm=Decimal(row["section_width_mm"]),
        width_on_in=Decimal(row["measuring_rim_in"]),
        measuring_rim_in=Decimal(row["measuring_rim_in"]),
        basis="table",
        source=row["source"],
        note=f"Tabled as {row['designation']}.",
    )


@cache
def _radials() -> dict[int, list[Nominal]]:
    """The rows of Table II by nominal width."""
    by_width: dict[int, list[Nominal]] = {}
    for row in rows("dimensions"):
        size = read_size(row["designation"])
        if size.construction == RADIAL and size.width_mm:
            by_width.setdefault(size.width_mm, []).append(_tabled(size, row))
    return by_width
