"""Every address of cars and approvals under the API."""

from __future__ import annotations

from rest_framework.routers import BaseRouter

from fitments.api.approvals import Approvals, ApprovalVersions
from fitments.api.cars import CarMakers, ModelRanges, Variants
from fitments.api.evidence import EvidenceList
from fitments.api.fittings import Fitments, IdentifiedCars, Pressures, WheelOptions
from fitments.api.kept import ClassVersions, MarkVersions
from fitments.api.marks import Marks, Results
from fitments.api.organisers import Classes, Organisers
from fitments.api.papers import PaperVersions

RESOURCES = {
    "car-makers": CarMakers,
    "model-ranges": ModelRanges,
    "variants": Variants,
    "wheel-options": WheelOptions,
    "pressures": Pressures,
    "fitments": Fitments,
    "identified-cars": IdentifiedCars,
    "organisers": Organisers,
    "classes": Classes,
    "class-versions": ClassVersions,
    "evidence": EvidenceList,
    "evidence-versions": PaperVersions,
    "marks": Marks,
    "mark-versions": MarkVersions,
    "test-results": Results,
    "approvals": Approvals,
    "approval-versions": ApprovalVersions,
}


def register(router: BaseRouter) -> None:
    """Give every resource its address."""
    for prefix, viewset in RESOURCES.items():
        router.register(prefix, viewset, basename=prefix)
