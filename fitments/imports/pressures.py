"""The sheet of pressures, each as its source states it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fitments.activities.wheels import PRESSURES
from fitments.imports.axles import AXLE, by_axle
from fitments.models.car import Pressure, Variant
from inventory.ground.entries.register import Values
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow


class Pressures(RegisterSheet):
    """One row a pressure, for one axle or for both."""

    name = "pressures"
    title = "Pressures"
    model = Pressure
    into = PRESSURES
    key = ("variant", "axle", "size", "condition")
    columns = (
        to(
            "variant", "variant", Reference(Variant, "variant"), required=True, example="SPR-16-SAL"
        ),
        AXLE,
        of(Pressure, "size", heading="size", example="165 R 15"),
        of(Pressure, "condition", example="up to four people"),
        of(Pressure, "kpa", heading="kPa", example="180"),
        of(Pressure, "source", example="Hallmere handbook S1, page 31"),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """A pressure for each axle."""
        return by_axle(row.values)
