"""The sheet of wheels that variants could be had with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fitments.activities.wheels import WHEELS
from fitments.imports.axles import AXLE, by_axle
from fitments.models.car import Variant, WheelOption
from inventory.ground.entries.register import Values
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.rows import Report, SheetRow


class Wheels(RegisterSheet):
    """One row a wheel, for one axle or for both."""

    name = "wheels"
    title = "Wheels"
    model = WheelOption
    into = WHEELS
    key = ("variant", "name", "axle")
    columns = (
        to(
            "variant", "variant", Reference(Variant, "variant"), required=True, example="SPR-16-SAL"
        ),
        of(WheelOption, "name", heading="wheel", example="5 J x 15 disc"),
        AXLE,
        of(WheelOption, "rim_text", heading="rim", read=readers.code, example="15"),
        of(WheelOption, "width_in", heading="width in", example="5"),
        of(WheelOption, "bead", heading="bead", wanted="only for beaded edge and straight side"),
        of(WheelOption, "rim_kind", heading="rim kind", example="steel disc"),
        of(WheelOption, "tubed", example="yes"),
        of(WheelOption, "standard", heading="as listed", example="yes"),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """A wheel for each axle."""
        return by_axle(row.values)
