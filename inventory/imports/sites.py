"""The sheet of sites."""

from __future__ import annotations

from inventory.activities.cataloguing.places import SITES
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.place import Site


class Sites(RegisterSheet):
    """One row a site."""

    name = "sites"
    title = "Sites"
    model = Site
    into = SITES
    key = ("code",)
    columns = (
        of(Site, "code", read=readers.code, example="MAIN"),
        of(Site, "name", example="Main warehouse"),
        of(Site, "kind", example="fixed"),
    )
