"""Approvals to be looked at again: their evidence is due for it, or their days come to an end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q

from fitments.lookup.register import in_force, known, scope_of, tyre_of
from fitments.models.approval import ApprovalVersion

HORIZON_DAYS = 60
"""How far ahead is looked: time to write to a car maker and be answered (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class Review:
    """One approval, the first day that calls for another look at it, and every reason."""

    approval_id: int
    code: str
    scope: str
    tyre: str
    due_on: date
    reasons: tuple[str, ...]

    def overdue(self, on: date) -> bool:
        return self.due_on < on


def reviews_due(*, on: date, days: int = HORIZON_DAYS) -> list[Review]:
    """The approvals in force on a day that are to be looked at within so many days of it, the
    longest due first. Two queries."""
    until = on + timedelta(days=days)
    named = ("approval__vehicle_line__maker", "approval__competition_class__organiser")
    more = ("approval__pattern__maker", "approval__compound")
    rows = in_force(known(ApprovalVersion.objects.all(), None), on).filter(
        Q(evidence__due_on__lte=until) | Q(valid__endswith__lte=until + timedelta(days=1))
    )
    rows = rows.distinct().order_by("pk").select_related(*named, *more)
    found = [_review(row, until) for row in rows.prefetch_related("evidence")]
    return sorted(found, key=lambda one: (one.due_on, one.code))


def _review(version: ApprovalVersion, until: date) -> Review:
    found = sorted(_reasons(version, until))
    approval = version.approval
    return Review(
        approval.pk,
        approval.code,
        scope_of(approval),
        tyre_of(approval),
        found[0][0],
        tuple(words for _, words in found),
    )


def _reasons(version: ApprovalVersion, until: date) -> Iterator[tuple[date, str]]:
    for paper in version.evidence.all():
        if paper.due_on is not None and paper.due_on <= until:
            yield paper.due_on, f"{paper.code} is due for another look on {paper.due_on}"
    if version.valid.upper is not None:
        last = version.valid.upper - timedelta(days=1)
        if last <= until:
            yield last, f"in force until {last}"
