"""The sheet of what goes with tyres: tubes, rim tapes, valves."""

from __future__ import annotations

from inventory.activities.cataloguing.companions import COMPANIONS
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.companion import Companion
from inventory.models.sku import Sku

_SKU = Reference(Sku, "SKU")


class Companions(RegisterSheet):
    """One row for each thing that goes with a tyre, or with the tyres of a size."""

    name = "companions"
    title = "Companions"
    model = Companion
    into = COMPANIONS
    key = ("tyre", "size_text", "rim_kind", "valve", "companion")
    columns = (
        to("tyre", "tyre", _SKU, wanted="one tyre, or leave it empty and give a size"),
        of(Companion, "size_text", heading="size", example="5.60-15"),
        of(Companion, "rim_kind", heading="rim", example="spoked"),
        of(Companion, "valve", example="rubber, offset"),
        to("companion", "companion", _SKU, required=True, example="TUBE-56015"),
        of(Companion, "need", heading="need", example="must"),
        of(Companion, "per_tyre", example="1"),
        of(Companion, "source", example="the tyre maker's fitting sheet, page 3"),
    )
