"""Versions of approvals: what is said of each, written beside what was said before.

When something became known is the database's own time, read after the lock on the approval, and
never before what was known already, even if its clock was set back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.db import connection
from django.db.backends.postgresql.psycopg_any import DateRange, DateTimeTZRange
from django.db.models import Prefetch

from fitments.lookup.standing import changing
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence

_DAY = timedelta(days=1)
_MOMENT = """
SELECT greatest(clock_timestamp(), max(lower(known)) + interval '1 microsecond')
FROM fitments_approvalversion WHERE approval_id = ANY(%s)
"""
_CLOSE = """
UPDATE fitments_approvalversion SET known = tstzrange(lower(known), %s) WHERE id = ANY(%s)
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What one version says. Both days are inclusive; None where it has no beginning or no end."""

    valid_from: date | None = None
    valid_to: date | None = None
    withdrawn_on: date | None = None
    superseded_by: Approval | None = None
    least_load_index: int | None = None
    buffing_allowed: bool | None = None
    conditions: str = ""
    evidence: frozenset[Evidence] = frozenset()

    @classmethod
    def of(cls, version: ApprovalVersion) -> Said:
        """What a version says; two queries unless its relations were fetched with it."""
        upper = version.valid.upper
        return cls(
            valid_from=version.valid.lower,
            valid_to=upper - _DAY if upper else None,
            withdrawn_on=version.withdrawn_on,
            superseded_by=version.superseded_by,
            least_load_index=version.least_load_index,
            buffing_allowed=version.buffing_allowed,
            conditions=version.conditions,
            evidence=frozenset(version.evidence.all()),
        )

    @property
    def valid(self) -> DateRange:
        """The days in force, half open as the database keeps them."""
        return DateRange(self.valid_from, self.valid_to + _DAY if self.valid_to else None)


def lock(approvals: Collection[Approval]) -> None:
    """Lock approvals in one order, so that what is said of each is said by one at a time."""
    rows = Approval.objects.filter(pk__in=[approval.pk for approval in approvals])
    list(rows.select_for_update(no_key=True, of=("self",)).order_by("pk").values_list("pk"))


def current(approvals: Collection[Approval]) -> Mapping[int, list[ApprovalVersion]]:
    """What is said of approvals now, by their pk; read it under the lock."""
    found: dict[int, list[ApprovalVersion]] = defaultdict(list)
    rows = (
        ApprovalVersion.objects.filter(approval__in=approvals, known__upper_inf=True)
        .select_related("superseded_by")
        .prefetch_related(Prefetch("evidence", Evidence.objects.order_by("pk")))
    )
    for version in rows.order_by("pk"):
        found[version.approval_id].append(version)
    return found


def replace(
    closed: Sequence[ApprovalVersion], said: Sequence[tuple[Approval, Said]], *, why: str, by: User
) -> list[ApprovalVersion]:
    """Close some versions and add others, at one moment. The approvals have to be locked.

    Where something is closed, promises under way that may rest on it come first.
    """
    if closed:
        changing()
    approvals = {version.approval_id for version in closed} | {one.pk for one, _ in said}
    with connection.cursor() as cursor:
        cursor.execute(_MOMENT, [list(approvals)])
        (now,) = cursor.fetchone()
        if closed:
            cursor.execute(_CLOSE, [now, [version.pk for version in closed]])
    return _added(said, now, why=why, by=by)


def _added(
    said: Sequence[tuple[Approval, Said]], now: datetime, *, why: str, by: User
) -> list[ApprovalVersion]:
    rows = [
        ApprovalVersion(
            approval=approval,
            valid=one.valid,
            known=DateTimeTZRange(now, None),
            withdrawn_on=one.withdrawn_on,
            superseded_by=one.superseded_by,
            least_load_index=one.least_load_index,
            buffing_allowed=one.buffing_allowed,
            conditions=one.conditions,
            why=why,
            recorded_by=by,
        )
        for approval, one in said
    ]
    ApprovalVersion.objects.bulk_create(rows, batch_size=1000)
    through = ApprovalVersion.evidence.through
    through._default_manager.bulk_create(
        [
            through(approvalversion_id=row.pk, evidence_id=evidence.pk)
            for row, (_, one) in zip(rows, said, strict=True)
            for evidence in sorted(one.evidence, key=lambda each: each.pk)
        ],
        batch_size=1000,
    )
    return rows
