"""The sheet of tread patterns."""

from __future__ import annotations

from inventory.activities.cataloguing.makers import PATTERNS
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.maker import Pattern, TyreMaker


class Patterns(RegisterSheet):
    """One row a pattern of a maker."""

    name = "patterns"
    title = "Patterns"
    model = Pattern
    into = PATTERNS
    key = ("maker", "name")
    columns = (
        to("maker", "maker", Reference(TyreMaker, "tyre maker"), required=True, example="TARN"),
        of(Pattern, "name", example="Cairnway"),
        of(Pattern, "introduced", heading="introduced", example="1961"),
        of(Pattern, "withdrawn", heading="withdrawn", example="1974"),
        of(Pattern, "remade_since", heading="remade since", example="2009"),
        of(Pattern, "tread", example="symmetric"),
        of(Pattern, "shoulder", example="rounded"),
        of(Pattern, "use", example="road"),
        of(Pattern, "weather", example="dry and wet"),
        of(Pattern, "note"),
    )
