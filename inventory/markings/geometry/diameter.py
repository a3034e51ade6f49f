"""Overall diameter: from a published table, else by the formula, else as stated."""

from __future__ import annotations

from decimal import Decimal

from inventory.markings.geometry.dimension import (
    DESIGNATION,
    INCH,
    Dimension,
    GeometryError,
    NotDerivable,
    by_reading,
    stated,
    whole_mm,
)
from inventory.markings.geometry.nominal import nominal
from inventory.markings.rims import rim_of
from inventory.markings.size import Size
from inventory.markings.size.model import RADIAL
from inventory.markings.units import Measured

__all__ = ["overall_diameter"]

_LEAST, _MOST_RADIAL, _MOST_OTHER = Decimal("0.97"), Decimal("1.04"), Decimal("1.08")
_COMPETITION = (
    "A nominal figure: some makers print the tread width in its mark, and what the maker states "
    "governs."
)


def overall_diameter(size: Size, *, stated_mm: Measured | None = None) -> Dimension:
    """The overall diameter of a new tyre in mm, with the limits that type approval allows.

    A stated figure is taken as it is. A designation that names its diameter states it. Otherwise
    the published table that has the size (or the same size written otherwise), else the formula of
    UN R30 for a size with a profile, else, for a radial whose width is tabled on other rims, that
    section on this rim, marked as an assumption. Limits: d + 0.97 x 2H to d + 1.04 x 2H, 1.08 for
    cross-ply and bias-belted (UN R30 6.1.5, from memory; winter tyres may have 1 % more). Raises
    NotDerivable where the mark does not tell, GeometryError for a stated figure that cannot be.
    """
    if stated_mm is not None:
        return _checked(size, stated(stated_mm))
    return _named(size) or by_reading(size, "overall diameter", _derived)


def _derived(size: Size) -> Dimension:
    found = nominal(size)
    if found is None:
        raise NotDerivable(
            f"The overall diameter of {size} does not follow from its mark, and no table here has "
            "it: state the maker's figure."
        )
    rim = rim_of(size).diameter_mm
    value = whole_mm(rim + found.twice_height_mm)
    height = Decimal(value - rim)
    most = _MOST_RADIAL if size.construction == RADIAL else _MOST_OTHER
    return Dimension(
        value_mm=value,
        min_mm=float(rim + _LEAST * height),
        max_mm=float(rim + most * height),
        basis=found.basis,
        source=found.source,
        note=found.note,
        assumed=found.assumed,
    )


def _named(size: Size) -> Dimension | None:
    """The diameter that the designation itself names, nominal."""
    figures = (
        (size.overall_mm, Decimal(1)),
        (size.overall_cm, Decimal(10)),
        (size.overall_in, INCH),
    )
    for figure, scale in figures:
        if figure is not None:
            note = _COMPETITION if size.family.startswith("competition") else "A nominal figure."
            return stated(Decimal(str(figure)) * scale, DESIGNATION, note)
    return None


def _checked(size: Size, figure: Dimension) -> Dimension:
    rim = rim_of(size).diameter_mm
    if figure.value_mm <= rim:
        raise GeometryError(
            f"{figure.value_mm:g} mm cannot be the overall diameter of {size}: its rim alone "
            f"measures {rim} mm."
        )
    return figure
