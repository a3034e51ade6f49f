"""What independent tests found of a tyre, by discipline."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from fitments.activities.written import WrittenRegister
from fitments.models.evidence import Evidence, EvidenceKind
from fitments.models.test_report import TestResult
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Values
from inventory.models.sku import Sku, SkuKind


class ResultValues(TypedDict, total=False):
    """A result with its unit, a rank among so many, or both; publisher and day are the report's."""

    evidence: Evidence
    sku: Sku
    discipline: str
    result: Decimal | None
    unit: str
    rank: int | None
    out_of: int | None
    note: str
    withdrawn: bool
    why: str


def _faults(result: TestResult, given: Values) -> Iterator[Fault]:
    if result.evidence.kind != EvidenceKind.TEST_REPORT:
        yield Fault("evidence", f"{result.evidence.code} is no test report.")
    if result.sku.kind != SkuKind.TYRE:
        yield Fault("sku", f"{result.sku} is no tyre.")


RESULTS = WrittenRegister(TestResult, key=("evidence", "sku", "discipline"), derive=_faults)


def record_result(*, by: User, at: datetime, **values: Unpack[ResultValues]) -> TestResult:
    """Enter what a report found of a tyre in one discipline. Raises Faulty."""
    return RESULTS.make(values, by=by, at=at)


def change_result(
    *, test_result: TestResult, by: User, at: datetime, **values: Unpack[ResultValues]
) -> TestResult:
    """Say something else of a result, or that it does not stand any more. Raises Faulty."""
    return RESULTS.change(test_result, values, by=by, at=at)
