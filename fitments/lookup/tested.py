"""What independent tests found of a tyre, as it was known at a moment, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db.models import Prefetch

from fitments.lookup.papers import basis_of, known_papers
from fitments.models.evidence import Evidence
from fitments.models.test_report import TestResultVersion
from fitments.rules.values import Basis
from inventory.models.sku import Sku


@dataclass(frozen=True, slots=True)
class Tested:
    """One discipline of one report. ``found`` is the result with its unit, and the rank."""

    discipline: str
    found: str
    publisher: str
    published_on: date | None
    reference: str
    evidence_id: int
    basis: Basis
    note: str = ""


def found_in_tests(sku: Sku, *, known_on: datetime) -> tuple[Tested, ...]:
    """The results that stand, by discipline; two queries, one where there are none."""
    papers = Prefetch("test_result__evidence", known_papers(known_on))
    rows = (
        TestResultVersion.objects.filter(
            test_result__sku=sku, known__contains=known_on, withdrawn=False
        )
        .select_related("test_result")
        .prefetch_related(papers)
        .order_by("test_result__discipline", "pk")
    )
    return tuple(_told(row, known_on) for row in rows)


def _told(row: TestResultVersion, known_on: datetime) -> Tested:
    paper: Evidence = row.test_result.evidence
    return Tested(
        row.test_result.discipline,
        _found(row),
        paper.then_issuer,  # type: ignore[attr-defined]
        paper.then_dated,  # type: ignore[attr-defined]
        paper.then_reference,  # type: ignore[attr-defined]
        paper.pk,
        basis_of([paper], known_on),
        row.note,
    )


def _found(row: TestResultVersion) -> str:
    result = f"{_plain(row.result)} {row.unit}" if row.result is not None else ""
    of = f" of {row.out_of}" if row.out_of else ""
    rank = f"rank {row.rank}{of}" if row.rank else ""
    return ", ".join(part for part in (result, rank) if part)


def _plain(number: Decimal) -> str:
    """Without noughts at its end: 47.3, 100."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
