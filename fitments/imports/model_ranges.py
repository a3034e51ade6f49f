"""The sheet of model ranges."""

from __future__ import annotations

from fitments.activities.cars import LINES
from fitments.models.car import CarMaker, VehicleLine
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet


class ModelRanges(RegisterSheet):
    """One row a model range of a maker."""

    name = "model-ranges"
    title = "Model ranges"
    model = VehicleLine
    into = LINES
    key = ("code",)
    columns = (
        to("maker", "maker", Reference(CarMaker, "car maker"), required=True, example="HLM"),
        of(VehicleLine, "code", read=readers.code, example="SPR"),
        of(VehicleLine, "name", example="Sprint"),
    )
