"""Dimensions of a tyre from its size: tabled where a table has it, else computed, else stated.

All figures are of new tyres on the rim named, for planning: fitting, room around the wheel and
pressures are for a qualified fitter, the maker's data and the car's handbook.
"""

from __future__ import annotations

from inventory.markings.geometry.comparison import SizeComparison, compare_sizes
from inventory.markings.geometry.diameter import overall_diameter
from inventory.markings.geometry.dimension import Dimension, GeometryError, NotDerivable
from inventory.markings.geometry.rim_width import RimWidths, permitted_rim_widths
from inventory.markings.geometry.rolling import (
    nominal_circumference,
    revolutions_per_km,
    rolling_circumference,
)
from inventory.markings.geometry.speedometer import (
    SpeedometerCheck,
    SpeedometerRule,
    speedometer_check,
    speedometer_rule,
)
from inventory.markings.geometry.width import section_width

__all__ = [
    "Dimension",
    "GeometryError",
    "NotDerivable",
    "RimWidths",
    "SizeComparison",
    "SpeedometerCheck",
    "SpeedometerRule",
    "compare_sizes",
    "nominal_circumference",
    "overall_diameter",
    "permitted_rim_widths",
    "revolutions_per_km",
    "rolling_circumference",
    "section_width",
    "speedometer_check",
    "speedometer_rule",
]
