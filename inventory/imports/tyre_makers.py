"""The sheet of tyre makers."""

from __future__ import annotations

from inventory.activities.cataloguing.makers import MAKERS
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.maker import TyreMaker


class TyreMakers(RegisterSheet):
    """One row a maker of tyres."""

    name = "tyre-makers"
    title = "Tyre makers"
    model = TyreMaker
    into = MAKERS
    key = ("code",)
    columns = (
        of(TyreMaker, "code", read=readers.code, example="TARN"),
        of(TyreMaker, "name", example="Tarnbeck"),
        of(TyreMaker, "country", example="Portugal"),
    )
