"""The sheets of cars and approvals, in the order in which they build on one another."""

from __future__ import annotations

from fitments.imports.approvals import Approvals
from fitments.imports.car_makers import CarMakers
from fitments.imports.classes import Classes
from fitments.imports.evidence import EvidenceSheet
from fitments.imports.fitments import Fitments
from fitments.imports.identified_cars import IdentifiedCars
from fitments.imports.marks import Marks
from fitments.imports.model_ranges import ModelRanges
from fitments.imports.organisers import Organisers
from fitments.imports.pressures import Pressures
from fitments.imports.test_results import TestResults
from fitments.imports.variants import Variants
from fitments.imports.wheels import Wheels
from inventory.ground.sheets.sheet import Sheet

SHEETS: tuple[Sheet, ...] = (
    CarMakers(),
    ModelRanges(),
    Variants(),
    Wheels(),
    Pressures(),
    Fitments(),
    IdentifiedCars(),
    Organisers(),
    Classes(),
    EvidenceSheet(),
    Approvals(),
    Marks(),
    TestResults(),
)
