"""Rows of every table of cars and approvals, made by the handful."""

from __future__ import annotations

from tests.factories.approvals import IssuerMarkFactory, TestResultFactory
from tests.factories.cars import ChassisRangeFactory
from tests.fitments.api import scenes

ROWS = {
    "fitments.carmaker": scenes.ROWS["car-makers"],
    "fitments.vehicleline": scenes.ROWS["model-ranges"],
    "fitments.variant": scenes.ROWS["variants"],
    "fitments.chassisrange": ChassisRangeFactory.create_batch,
    "fitments.wheeloption": scenes.ROWS["wheel-options"],
    "fitments.pressure": scenes.ROWS["pressures"],
    "fitments.identifiedcar": scenes.ROWS["identified-cars"],
    "fitments.fitment": scenes.ROWS["fitments"],
    "fitments.organiser": scenes.ROWS["organisers"],
    "fitments.competitionclass": scenes.ROWS["classes"],
    "fitments.evidence": scenes.ROWS["evidence"],
    "fitments.approval": scenes.ROWS["approvals"],
    "fitments.approvalversion": scenes.ROWS["approval-versions"],
    "fitments.issuermark": IssuerMarkFactory.create_batch,
    "fitments.testresult": TestResultFactory.create_batch,
    # Each row of what they are versions of brings its first.
    "fitments.evidenceversion": scenes.ROWS["evidence"],
    "fitments.issuermarkversion": IssuerMarkFactory.create_batch,
    "fitments.testresultversion": TestResultFactory.create_batch,
    "fitments.competitionclassversion": scenes.ROWS["classes"],
}
