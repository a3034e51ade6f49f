"""Rows of every resource of cars and approvals, made by the handful."""

from __future__ import annotations

from tests.factories.approvals import (
    ApprovalFactory,
    CompetitionClassFactory,
    EvidenceFactory,
    IssuerMarkFactory,
    OrganiserFactory,
    TestResultFactory,
)
from tests.factories.cars import (
    CarMakerFactory,
    ChassisRangeFactory,
    FitmentFactory,
    IdentifiedCarFactory,
    PressureFactory,
    VariantFactory,
    VehicleLineFactory,
    WheelOptionFactory,
)


def variants(count: int) -> None:
    for variant in VariantFactory.create_batch(count):
        ChassisRangeFactory.create_batch(2, variant=variant)


def classes(count: int) -> None:
    for _ in range(count):
        CompetitionClassFactory(variants=VariantFactory.create_batch(2))


def approvals(count: int) -> None:
    for _ in range(count):
        ApprovalFactory(superseded=True, version__evidence=EvidenceFactory.create_batch(2))


ROWS = {
    "car-makers": CarMakerFactory.create_batch,
    "model-ranges": VehicleLineFactory.create_batch,
    "variants": variants,
    "wheel-options": WheelOptionFactory.create_batch,
    "pressures": PressureFactory.create_batch,
    "fitments": FitmentFactory.create_batch,
    "identified-cars": IdentifiedCarFactory.create_batch,
    "organisers": OrganiserFactory.create_batch,
    "classes": classes,
    "class-versions": CompetitionClassFactory.create_batch,
    "evidence": EvidenceFactory.create_batch,
    "evidence-versions": EvidenceFactory.create_batch,
    "marks": IssuerMarkFactory.create_batch,
    "mark-versions": IssuerMarkFactory.create_batch,
    "test-results": TestResultFactory.create_batch,
    "approvals": approvals,
    "approval-versions": approvals,
}
