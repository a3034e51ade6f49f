"""The sheet of organisers."""

from __future__ import annotations

from fitments.activities.organisers import ORGANISERS
from fitments.models.organiser import Organiser
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of
from inventory.ground.sheets.registered import RegisterSheet


class Organisers(RegisterSheet):
    """One row an organiser."""

    name = "organisers"
    title = "Organisers"
    model = Organiser
    into = ORGANISERS
    key = ("code",)
    columns = (
        of(Organiser, "code", read=readers.code, example="FHR"),
        of(Organiser, "name", example="Fellside Historic Racing"),
    )
