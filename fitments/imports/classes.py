"""The sheet of classes: what an organiser's list of a season allows, and which cars it admits."""

from __future__ import annotations

from dataclasses import replace

from fitments.activities.organisers import CLASSES
from fitments.models.car import Variant
from fitments.models.organiser import CompetitionClass, Organiser
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.shifting import year_by_years

_ORGANISER = Reference(Organiser, "organiser")
_VARIANT = Reference(Variant, "variant")


class Classes(RegisterSheet):
    """One row a class in one edition of a season's list."""

    name = "classes"
    title = "Classes"
    model = CompetitionClass
    into = CLASSES
    key = ("code",)
    columns = (
        to("organiser", "organiser", _ORGANISER, required=True, example="FHR"),
        of(CompetitionClass, "code", read=readers.code, example="FHR-26-T2"),
        of(CompetitionClass, "season", example="2026", shift=year_by_years),
        of(CompetitionClass, "edition", example="1"),
        of(CompetitionClass, "name", heading="class", example="saloons before 1966"),
        of(CompetitionClass, "age_limit_months", heading="age limit months", example="60"),
        of(CompetitionClass, "buffing_allowed", example="yes"),
        replace(
            to("cars admitted", "variants", _VARIANT, example="SPR-16-SAL"),
            read=readers.many(readers.code),
            absent=(),
            wanted="codes of variants, parted by ;",
        ),
    )
