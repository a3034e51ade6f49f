"""The sheet of test results: what independent reports found of a tyre, discipline by discipline."""

from __future__ import annotations

from fitments.activities.results import RESULTS
from fitments.models.evidence import Evidence
from fitments.models.test_report import TestResult
from inventory.ground.sheets.columns import of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.sku import Sku


class TestResults(RegisterSheet):
    """One row a discipline of a report for one SKU; the report itself is evidence."""

    __test__ = False

    name = "test-results"
    title = "Test results"
    model = TestResult
    into = RESULTS
    key = ("evidence", "sku", "discipline")
    needs = ("add", "change")
    columns = (
        to(
            "evidence", "evidence", Reference(Evidence, "evidence"), required=True, example="EV-002"
        ),
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        of(TestResult, "discipline", example="braking from 100 km/h, wet"),
        of(TestResult, "result", example="47.3"),
        of(TestResult, "unit", example="m"),
        of(TestResult, "rank", example="2"),
        of(TestResult, "out_of", heading="of so many", example="9"),
        of(TestResult, "note"),
    )
