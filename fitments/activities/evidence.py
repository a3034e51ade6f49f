"""Evidence: recorded by one person, checked by another, or by the same and shown as such."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.utils import timezone

from fitments.models.evidence import Evidence
from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Register, Values
from inventory.ground.refusal import Refusal


class NotYetRecorded(Refusal):
    """Evidence is said to have been checked before it was there."""


class EvidenceValues(TypedDict, total=False):
    """What can be said of a document; ``digest`` is the SHA-256 of the file as received."""

    code: str
    kind: str
    reference: str
    issuer: str
    dated: date | None
    says: str
    digest: str
    due_on: date | None


def _faults(evidence: Evidence, given: Values) -> Iterator[Fault]:
    evidence.digest = evidence.digest.lower()
    if evidence.checked_by is not None and not evidence.checked_by.is_active:
        yield Fault("checked_by", f"{evidence.checked_by} does not work here any more.")


class EvidenceRegister(Register[Evidence]):
    """Documents by their code."""

    def stamp(self, row: Evidence, *, by: User, at: datetime) -> None:
        row.recorded_by, row.recorded_at = by, at


EVIDENCE = EvidenceRegister(Evidence, key=("code",), derive=_faults)


def record(*, by: User, at: datetime, **values: Unpack[EvidenceValues]) -> Evidence:
    """Enter a document that an approval may rest on. Raises Faulty."""
    return EVIDENCE.make(values, by=by, at=at)


def change(
    *, evidence: Evidence, by: User, at: datetime, **values: Unpack[EvidenceValues]
) -> Evidence:
    """Change what is said of a document: it wants checking again. Raises Faulty."""
    unchecked = {"checked_at": None, "checked_by": None}
    return EVIDENCE.change(evidence, {**values, **unchecked}, by=by, at=at)


def check(*, evidence: Evidence, due_on: date | None = None, by: User, at: datetime) -> Evidence:
    """Say that somebody has looked at the document itself and it says what is written.

    Whoever recorded it may check it as well; it is then shown as self-checked. ``due_on`` is when
    it wants another look. Raises NotYetRecorded, Faulty.
    """
    if at < evidence.recorded_at:
        day = timezone.localdate(evidence.recorded_at).isoformat()
        raise NotYetRecorded(f"{evidence.code} was recorded on {day} only.", field="checked_on")
    values = {"checked_at": at, "checked_by": by, "due_on": due_on}
    return EVIDENCE.change(evidence, values, by=by, at=at)
