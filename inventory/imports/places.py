"""The sheet of places: racks, bays and shelves."""

from __future__ import annotations

from inventory.activities.cataloguing.places import PLACES
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.place import Place, Site


class Places(RegisterSheet):
    """One row a place that has a label."""

    name = "places"
    title = "Places"
    model = Place
    into = PLACES
    key = ("code",)
    columns = (
        to("site", "site", Reference(Site, "site"), required=True, example="MAIN"),
        of(Place, "code", read=readers.code, example="A-01-2"),
        of(Place, "kind", example="storage"),
        of(Place, "walk", example="10"),
        of(Place, "room", heading="room", example="24", wanted="for how many tyres"),
    )
