"""Section width of a tyre, on the rim that it stands on."""

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
from inventory.markings.geometry.nominal import Nominal, nominal
from inventory.markings.size import Size
from inventory.markings.size.model import RADIAL
from inventory.markings.units import Measured

__all__ = ["WIDEST_RIM_IN", "section_width"]

WIDEST_RIM_IN = 20
_GROWTH = Decimal("0.4")  # of the section for every mm of rim width
_MOST_RADIAL, _MOST_OTHER = Decimal("1.04"), Decimal("1.06")


def section_width(
    size: Size, rim_width_in: float | None = None, *, stated_mm: Measured | None = None
) -> Dimension:
    """The section width in mm on a rim of so many inches, or on its measuring rim.

    A stated figure is taken as it is, and so is one that the designation names (nominal, whatever
    the rim). Otherwise the published table, else the formula of UN R30, with 0.4 mm for every mm of
    rim width. There is no lower limit; the upper one is 4 % more for radials, 6 % otherwise (UN R30
    6.1.4, from memory). Raises NotDerivable, GeometryError.
    """
    if rim_width_in is not None and not 0 < rim_width_in <= WIDEST_RIM_IN:
        raise GeometryError(f"{rim_width_in:g} in is not the width of a car's rim.")
    if stated_mm is not None:
        return stated(stated_mm)
    rim = None if rim_width_in is None else Decimal(str(rim_width_in))
    return _named(size) or by_reading(size, "section width", lambda one: _derived(one, rim))


def _derived(size: Size, rim: Decimal | None) -> Dimension:
    found = nominal(size)
    on = rim or (found.measuring_rim_in if found else None)
    if found is None or on is None:
        raise NotDerivable(
            f"The section width of {size} does not follow from its mark, and no table here has it: "
            "state the maker's figure."
        )
    value = whole_mm(found.width_mm + _GROWTH * (on - found.width_on_in) * INCH)
    most = _MOST_RADIAL if size.construction == RADIAL else _MOST_OTHER
    return Dimension(
        value_mm=value,
        min_mm=None,
        max_mm=float(value * most),
        basis=found.basis,
        source=found.source,
        note=f"On a rim of {on.normalize():f} in{_measuring(found, on)}. {found.note}".strip(),
        assumed=found.assumed,
    )


def _measuring(found: Nominal, on: Decimal) -> str:
    if on != found.measuring_rim_in:
        return ""
    return ", its measuring rim" + ("" if found.basis == "table" else " (from memory)")


def _named(size: Size) -> Dimension | None:
    """The section that the designation itself names, nominal."""
    figures = (
        (size.section_mm, Decimal(1)),
        (size.section_cm, Decimal(10)),
        (size.section_in, INCH),
    )
    for figure, scale in figures:
        if figure is not None:
            return stated(Decimal(str(figure)) * scale, DESIGNATION, "A nominal figure.")
    return None
