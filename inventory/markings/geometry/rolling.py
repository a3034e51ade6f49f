"""Circumference: nominal and rolling, and revolutions per kilometre."""

from __future__ import annotations

from math import pi

from inventory.markings.geometry.diameter import overall_diameter
from inventory.markings.geometry.dimension import Dimension
from inventory.markings.size import Size
from inventory.markings.size.model import RADIAL
from inventory.markings.units import Measured

__all__ = ["nominal_circumference", "revolutions_per_km", "rolling_circumference"]

ROLLING_FACTOR_RADIAL = 3.05
_RADIAL = "3.05 x overall diameter, the common factor for radials, from memory"
_OTHER = "pi x overall diameter"
_OTHER_NOTE = "No rolling factor is held but for radials: the tyre rolls somewhat shorter."
_MM_PER_KM = 1_000_000


def nominal_circumference(size: Size, *, stated_mm: Measured | None = None) -> Dimension:
    """pi times the overall diameter, in mm; ``stated_mm`` is the maker's overall diameter.

    Raises NotDerivable, GeometryError.
    """
    return _scaled(overall_diameter(size, stated_mm=stated_mm), pi, _OTHER, "")


def rolling_circumference(size: Size, *, stated_mm: Measured | None = None) -> Dimension:
    """The distance that the wheel rolls in a turn, in mm; ``stated_mm`` is an overall diameter.

    3.05 times the overall diameter for radials (from memory). For other constructions, and where
    the mark leaves the construction open, the nominal circumference, and the note says so. Raises
    NotDerivable, GeometryError.
    """
    diameter = overall_diameter(size, stated_mm=stated_mm)
    if size.construction == RADIAL:
        return _scaled(diameter, ROLLING_FACTOR_RADIAL, _RADIAL, "")
    return _scaled(diameter, pi, _OTHER, _OTHER_NOTE)


def revolutions_per_km(size: Size, *, stated_mm: Measured | None = None) -> float:
    """Turns of the wheel in a kilometre, by the rolling circumference, to one decimal."""
    return round(_MM_PER_KM / rolling_circumference(size, stated_mm=stated_mm).value_mm, 1)


def _scaled(diameter: Dimension, factor: float, source: str, note: str) -> Dimension:
    low, high = diameter.min_mm, diameter.max_mm
    return Dimension(
        value_mm=round(diameter.value_mm * factor),
        min_mm=None if low is None else round(low * factor, 1),
        max_mm=None if high is None else round(high * factor, 1),
        basis=diameter.basis,
        source=f"{source}; diameter: {diameter.source}",
        note=" ".join(part for part in (note, diameter.note) if part),
        assumed=diameter.assumed,
    )
