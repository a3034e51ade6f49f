"""The sheet of marks: what each car maker says of issues that meet on one car, and of old stock."""

from __future__ import annotations

from fitments.activities.marks import MARKS
from fitments.models.car import CarMaker
from fitments.models.evidence import Evidence
from fitments.models.mark import IssuerMark
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet


class Marks(RegisterSheet):
    """One row a mark of a car maker."""

    name = "marks"
    title = "Marks"
    model = IssuerMark
    into = MARKS
    key = ("car_maker", "mark")
    needs = ("add", "change")
    columns = (
        to(
            "car maker", "car_maker", Reference(CarMaker, "car maker"), required=True, example="HLM"
        ),
        of(IssuerMark, "mark", example="HLM"),
        of(IssuerMark, "mixing", heading="mixing issues", example="one issue round the car"),
        of(IssuerMark, "old_stock", heading="words for old stock"),
        to("evidence", "evidence", Reference(Evidence, "evidence"), example="EV-001"),
        of(IssuerMark, "why", heading="why"),
    )
