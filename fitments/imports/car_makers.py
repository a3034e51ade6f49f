"""The sheet of car makers."""

from __future__ import annotations

from fitments.activities.cars import MAKERS
from fitments.models.car import CarMaker
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet


class CarMakers(RegisterSheet):
    """One row a maker of cars."""

    name = "car-makers"
    title = "Car makers"
    model = CarMaker
    into = MAKERS
    key = ("code",)
    columns = (
        of(CarMaker, "code", read=readers.code, example="HLM"),
        of(CarMaker, "name", example="Hallmere"),
        of(CarMaker, "country", example="United Kingdom"),
    )
