"""The sheet of variants, with their chassis numbers."""

from __future__ import annotations

from fitments.activities.cars import VARIANTS
from fitments.activities.chassis import read_range
from fitments.models.car import Variant, VehicleLine
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet

_RANGE = Reference(VehicleLine, "model range")


class Variants(RegisterSheet):
    """One row a variant of a model range."""

    name = "variants"
    title = "Variants"
    model = Variant
    into = VARIANTS
    key = ("code",)
    columns = (
        to("model range", "vehicle_line", _RANGE, required=True, example="SPR"),
        of(Variant, "code", read=readers.code, example="SPR-16-SAL"),
        of(Variant, "name", example="1.6"),
        of(Variant, "body", example="saloon"),
        of(Variant, "built_from", example="1961-09-01"),
        of(Variant, "built_to", example="1966-07-29"),
        of(Variant, "top_speed_kmh", heading="top speed km/h", example="152"),
        of(Variant, "front_axle_kg", heading="front axle kg", example="560"),
        of(Variant, "rear_axle_kg", heading="rear axle kg", example="610"),
        of(Variant, "front_wheels", heading="front wheels", example="2"),
        of(Variant, "rear_wheels", heading="rear wheels", example="2"),
        of(Variant, "arch_overall_max_mm", heading="largest diameter mm", example="670"),
        of(Variant, "competition", heading="competition", example="no"),
        of(Variant, "racing_scheme", heading="racing scheme"),
        of(Variant, "racing_period", heading="racing period"),
        Column(
            "chassis",
            "chassis_ranges",
            readers.many(read_range),
            absent=(),
            example="HS 100-250; HSA 1-90",
            wanted="prefix, first and last number, such as HS 100-250; several parted by ;",
        ),
        of(Variant, "source", example="Hallmere parts list 12"),
        of(Variant, "note"),
    )
