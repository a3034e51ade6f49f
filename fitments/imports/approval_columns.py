"""The columns of the sheet of approvals."""

from __future__ import annotations

from dataclasses import replace

from fitments.imports.axles import AXLE
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from fitments.models.organiser import CompetitionClass
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.models.maker import Compound, Pattern, TyreMaker

# The columns that are said of an approval, in its versions; the others are what it is about.
SAID = (
    "valid_from",
    "valid_to",
    "withdrawn_on",
    "least_load_index",
    "buffing_allowed",
    "conditions",
    "evidence",
)
_MAKER = Reference(TyreMaker, "tyre maker")
_PATTERN = Reference(Pattern, "pattern", by="name", within=("maker", "pattern_maker"))
_COMPOUND = Reference(Compound, "compound", within=("maker", "pattern_maker"))

COLUMNS = (
    of(Approval, "code", read=readers.code, example="HLM-SPR-CW-2"),
    to("car maker", "car_maker", Reference(CarMaker, "car maker"), example="HLM"),
    to("model range", "vehicle_line", Reference(VehicleLine, "model range"), example="SPR"),
    to(
        "class",
        "competition_class",
        Reference(CompetitionClass, "class"),
        wanted="instead of a car maker and its range: a class of an organiser",
    ),
    replace(AXLE, wanted="front, rear, or both: two approvals, their codes ending in -F and -R"),
    of(Approval, "size_text", heading="size", example="185/70 R 15", wanted="empty: any size"),
    to("pattern maker", "pattern_maker", _MAKER, example="TARN"),
    to("pattern", "pattern", _PATTERN, example="Cairnway", wanted="empty: any pattern"),
    to("compound", "compound", _COMPOUND, wanted="empty: any compound"),
    of(Approval, "mark", example="HLM"),
    of(Approval, "mark_issue", example="2"),
    of(Approval, "by_list", heading="by list", example="no"),
    Column(
        "valid from",
        "valid_from",
        readers.day,
        absent=None,
        example="2019-05-02",
        wanted="the first day in force",
    ),
    Column("valid to", "valid_to", readers.day, absent=None, wanted="the last day in force"),
    of(ApprovalVersion, "withdrawn_on", shift=day_by_weeks),
    Column(
        "superseded by",
        "superseded_by",
        readers.code,
        wanted="the code of the approval that took its place, here or in this sheet",
    ),
    of(ApprovalVersion, "least_load_index", heading="least load index"),
    of(ApprovalVersion, "buffing_allowed"),
    of(ApprovalVersion, "conditions"),
    replace(
        to("evidence", "evidence", Reference(Evidence, "evidence"), example="EV-001"),
        read=readers.many(readers.code),
        absent=(),
        wanted="codes of evidence, parted by ;",
    ),
)
