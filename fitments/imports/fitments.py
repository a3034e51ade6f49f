"""The sheet of fitments: which size goes on which axle of a variant."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fitments.activities.fittings import FITMENTS
from fitments.imports.axles import AXLE, by_axle
from fitments.models.car import Variant, WheelOption
from fitments.models.fitment import Fitment
from inventory.ground.entries.finding import fold
from inventory.ground.entries.register import Values
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet, Registration
from inventory.ground.sheets.rows import Report, SheetRow


class Fitments(RegisterSheet):
    """One row a size, for one axle or for both."""

    name = "fitments"
    title = "Fitments"
    model = Fitment
    into = FITMENTS
    key = ("variant", "axle", "combination", "size_text", "built_from", "wheel")
    columns = (
        to(
            "variant", "variant", Reference(Variant, "variant"), required=True, example="SPR-16-SAL"
        ),
        AXLE,
        of(Fitment, "combination", heading="combination", example="A"),
        of(Fitment, "size_text", heading="size", example="165 SR 15"),
        of(Fitment, "least_load_index", heading="least load index", example="86"),
        of(Fitment, "least_speed", heading="least speed", example="S"),
        of(Fitment, "standing", example="fitted when new"),
        of(Fitment, "built_from", heading="built from", example="1964-03-16"),
        of(Fitment, "built_to", heading="built to"),
        of(Fitment, "wheel", heading="wheel", example="5 J x 15 disc"),
        of(Fitment, "source", example="Hallmere handbook S1, page 30"),
    )

    def values_of(self, row: SheetRow, report: Report, on: date) -> Sequence[Values]:
        """A fitment for each axle."""
        return by_axle(row.values)

    def plan(
        self, rows: Sequence[SheetRow], report: Report, *, on: date, lock: bool
    ) -> Registration:
        """Judge the rows, and whether the variant has the wheel that is named."""
        named = [row for row in rows if row.values.get("wheel")]
        held = {
            (variant, fold(name), axle)
            for variant, name, axle in WheelOption.objects.filter(
                variant__in={row.values["variant"].pk for row in named}
            ).values_list("variant_id", "name", "axle")
        }
        for row in named:
            for one in by_axle(row.values):
                if (one["variant"].pk, fold(one["wheel"]), one["axle"]) not in held:
                    words = f"{one['variant']} has no wheel {quoted(one['wheel'])}, {one['axle']}."
                    report(row.number, "wheel", words)
        return super().plan(rows, report, on=on, lock=lock)
