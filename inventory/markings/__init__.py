"""What is moulded on a sidewall, read and computed: pure functions, no clock, no database.

Size: ``read_size``, ``same_size``, ``search_keys``, ``rims_match``. Service description:
``load_capacity_kg``, ``top_speed``, ``load_at_speed``. Age: ``read_date_code``, ``week_of``.
Dimensions: ``overall_diameter``, ``section_width``, ``permitted_rim_widths``, ``compare_sizes``
and what rolling needs. Article numbers: ``normalise_gtin``; scans: ``read_scan``. Units: the
``to_…`` functions.
"""

from inventory.markings.aliases import same_size, search_keys, size_key
from inventory.markings.datecode import (
    NO_DATE,
    Age,
    DateCode,
    UnreadableDateCode,
    first_day_of_week,
    oldest_allowed_week,
    read_date_code,
    week_index,
    week_of,
    weeks_in_year,
)
from inventory.markings.errors import UnreadableMarking
from inventory.markings.geometry import (
    Dimension,
    GeometryError,
    NotDerivable,
    RimWidths,
    SizeComparison,
    SpeedometerCheck,
    SpeedometerRule,
    compare_sizes,
    nominal_circumference,
    overall_diameter,
    permitted_rim_widths,
    revolutions_per_km,
    rolling_circumference,
    section_width,
    speedometer_check,
    speedometer_rule,
)
from inventory.markings.identifiers import BadIdentifier, check_digit, normalise_gtin
from inventory.markings.rims import Rim, rim_from, rim_of, rims_match
from inventory.markings.scans import SEPARATOR, Form, Scan, UnreadableScan, read_scan
from inventory.markings.service import (
    UNKNOWN_TOP_SPEED,
    ServiceDescriptionError,
    TooFast,
    TopSpeed,
    UnknownLoadIndex,
    UnknownSpeedSymbol,
    load_at_speed,
    load_capacity_kg,
    top_speed,
    top_speed_of,
)
from inventory.markings.size import Size, read_size
from inventory.markings.units import (
    Measured,
    WrongUnit,
    to_inches,
    to_kg,
    to_kmh,
    to_kpa,
    to_mm,
    ureg,
)

__all__ = [
    "NO_DATE",
    "SEPARATOR",
    "UNKNOWN_TOP_SPEED",
    "Age",
    "BadIdentifier",
    "DateCode",
    "Dimension",
    "Form",
    "GeometryError",
    "Measured",
    "NotDerivable",
    "Rim",
    "RimWidths",
    "Scan",
    "ServiceDescriptionError",
    "Size",
    "SizeComparison",
    "SpeedometerCheck",
    "SpeedometerRule",
    "TooFast",
    "TopSpeed",
    "UnknownLoadIndex",
    "UnknownSpeedSymbol",
    "UnreadableDateCode",
    "UnreadableMarking",
    "UnreadableScan",
    "WrongUnit",
    "check_digit",
    "compare_sizes",
    "first_day_of_week",
    "load_at_speed",
    "load_capacity_kg",
    "nominal_circumference",
    "normalise_gtin",
    "oldest_allowed_week",
    "overall_diameter",
    "permitted_rim_widths",
    "read_date_code",
    "read_scan",
    "read_size",
    "revolutions_per_km",
    "rim_from",
    "rim_of",
    "rims_match",
    "rolling_circumference",
    "same_size",
    "search_keys",
    "section_width",
    "size_key",
    "speedometer_check",
    "speedometer_rule",
    "to_inches",
    "to_kg",
    "to_kmh",
    "to_kpa",
    "to_mm",
    "top_speed",
    "top_speed_of",
    "ureg",
    "week_index",
    "week_of",
    "weeks_in_year",
]
