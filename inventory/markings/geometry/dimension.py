"""A dimension with its limits and where it comes from, and what is said when there is none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from inventory.markings.size import Size
from inventory.markings.units import Measured, to_mm

__all__ = ["Dimension", "GeometryError", "NotDerivable", "by_reading", "stated", "whole_mm"]

MAKERS_FIGURE = "the maker's figure, as stated"
DESIGNATION = "the size designation itself"
INCH = Decimal("25.4")


class GeometryError(ValueError):
    """A dimension that cannot be given or cannot be right; a sentence for the person."""


class NotDerivable(GeometryError):
    """The dimension does not follow from the designation: the maker's figure must be stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """One dimension in mm.

    ``basis`` is "table" (a published table has the size), "formula" (computed) or "stated" (by the
    designation or by the maker). ``min_mm`` and ``max_mm`` are the limits of the type-approval
    rule, None where it sets none. ``source`` names the table, rule or statement, ``note`` says
    what else to know, and ``assumed`` that the note holds an assumption.
    """

    value_mm: int | float
    min_mm: float | None
    max_mm: float | None
    basis: str
    source: str
    note: str = ""
    assumed: bool = False


def whole_mm(value: Decimal) -> int:
    """Rounded to whole mm, halves up, as the tables print."""
    return int(value.quantize(Decimal(1), ROUND_HALF_UP))


def stated(value: Measured, source: str = MAKERS_FIGURE, note: str = "") -> Dimension:
    """A dimension that was stated: no limits are known for it. Raises WrongUnit, GeometryError."""
    number = to_mm(value)
    if not 20 <= number <= 2000:
        raise GeometryError(f"{number:g} mm is not a dimension of a car tyre: check the figure.")
    plain = int(number) if number == int(number) else number
    return Dimension(
        value_mm=plain, min_mm=None, max_mm=None, basis="stated", source=source, note=note
    )


def by_reading(size: Size, what: str, derive: Callable[[Size], Dimension]) -> Dimension:
    """``derive`` for every way the size may be read: one answer where they agree, within all.

    Raises NotDerivable with every answer named where they do not. ``what`` names the dimension.
    """
    readings = size.candidates if len(size.possible_constructions) > 1 else ()
    if not readings:
        return derive(size)
    found = [(reading, _derived(reading, derive)) for reading in readings]
    known = [d for _, d in found if d is not None]
    if len(known) == len(found) and len({d.value_mm for d in known}) == 1:
        return _widest(known)
    told = " or ".join(
        f"{reading} ({f'{d.value_mm:g} mm' if d else 'not known'})" for reading, d in found
    )
    raise NotDerivable(
        f"{size} may be read as {told}: say which is meant, or state the maker's {what}."
    )


def _derived(size: Size, derive: Callable[[Size], Dimension]) -> Dimension | None:
    try:
        return derive(size)
    except NotDerivable:
        return None


def _widest(found: Sequence[Dimension]) -> Dimension:
    """The first, with limits that hold for every reading."""
    lows = [d.min_mm for d in found if d.min_mm is not None]
    highs = [d.max_mm for d in found if d.max_mm is not None]
    return replace(
        found[0],
        min_mm=min(lows) if lows else None,
        max_mm=max(highs) if highs else None,
        source="; ".join(dict.fromkeys(d.source for d in found)),
        assumed=any(d.assumed for d in found),
    )
