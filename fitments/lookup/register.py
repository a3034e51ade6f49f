"""The register of approvals as it stood: as known on one day, in force on another. Both are asked.

"As known on" a day is what was known when that day of the shop was over; "in force on" a day is
within the period that is said, and not withdrawn by then.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from django.db.models import Prefetch, Q, QuerySet
from django.utils import timezone

from fitments.lookup.papers import basis_of, known_papers
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence
from fitments.rules.values import Basis

Versions = QuerySet[ApprovalVersion]
_DAY = timedelta(days=1)


def end_of(day: date) -> datetime:
    """The last moment of a day of the shop."""
    return timezone.make_aware(datetime.combine(day, time.max))


def every_version() -> Versions:
    """Versions with what is told of them, their documents as they are known now."""
    basis = Prefetch("evidence", Evidence.objects.order_by("code"))
    rows = ApprovalVersion.objects.select_related("approval", "superseded_by", "recorded_by")
    return rows.prefetch_related(basis)


def known(rows: Versions, day: date | None) -> Versions:
    """Versions that are known now, or were known when a day was over."""
    if day is None:
        return rows.filter(known__upper_inf=True)
    return rows.filter(known__contains=end_of(day))


def in_force(rows: Versions, day: date | None) -> Versions:
    """Versions that put their approval in force on a day."""
    if day is None:
        return rows
    standing = Q(withdrawn_on__isnull=True) | Q(withdrawn_on__gt=day)
    return rows.filter(standing, valid__contains=day)


def register_of(*, known_on: date | None, in_force_on: date | None, at: datetime) -> Versions:
    """The register with everything that a line of it tells, in the order of the approvals.

    Documents come with it as they were known then; ``at`` is now. Four queries in all.
    """
    moment = end_of(known_on) if known_on else at
    joined = (
        *("approval__car_maker", "approval__vehicle_line__maker"),
        *("approval__competition_class__organiser", "approval__pattern__maker"),
        *("approval__compound", "superseded_by", "recorded_by"),
    )
    rows = ApprovalVersion.objects.select_related(*joined)
    rows = in_force(known(rows, known_on), in_force_on)
    return rows.prefetch_related(Prefetch("evidence", known_papers(moment), to_attr="papers"))


def worth(version: Any, *, known_on: date | None, at: datetime) -> Basis:
    """What a version of ``register_of`` rested on."""
    return basis_of(version.papers, end_of(known_on) if known_on else at)


def days_of(version: ApprovalVersion) -> str:
    """The days in force in words, the last inclusive."""
    first, end = version.valid.lower, version.valid.upper
    last = end - _DAY if end else None
    parts = [f"{word} {day.isoformat()}" for word, day in (("from", first), ("to", last)) if day]
    return " ".join(parts) or "always"


def scope_of(approval: Approval) -> str:
    """Whose approval it is, and for what: a model range, or a class in an edition of a list."""
    one = approval.competition_class
    if one is None:
        return str(approval.vehicle_line)
    return f"{one.organiser} {one.season}, {one.name}, edition {one.edition}"


def tyre_of(approval: Approval) -> str:
    """Which tyre it is about: size, pattern, compound, mark; what is any is said so."""
    parts = [
        approval.size or "any size",
        str(approval.pattern) if approval.pattern else "any pattern",
        f"compound {approval.compound.code}" if approval.compound else "",
        mark_of(approval),
    ]
    return ", ".join(part for part in parts if part)


def mark_of(approval: Approval) -> str:
    """Its mark and issue, or that it is by list."""
    if approval.by_list:
        return "by list"
    return f"mark {approval.mark}" + (
        f" issue {approval.mark_issue}" if approval.mark_issue else ""
    )


def standing_of(version: ApprovalVersion, *, on: date) -> tuple[str, str, str]:
    """How it stands on a day: words, sign, and the class that repeats it in colour."""
    if version.withdrawn_on and version.withdrawn_on <= on:
        return f"withdrawn on {version.withdrawn_on.isoformat()}", "✕", "does_not_suit"
    if version.superseded_by:
        return f"superseded by {version.superseded_by.code}", "!", "caution"
    if version.valid.lower and on < version.valid.lower:
        return f"from {version.valid.lower.isoformat()} on", "!", "caution"
    if version.valid.upper and version.valid.upper <= on:
        return "ran out", "✕", "does_not_suit"
    return "in force", "✓", "suits"
