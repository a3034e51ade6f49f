"""Approvals as they were known at a moment, about a day: what the rules weigh."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from fitments.lookup.papers import basis_of, called
from fitments.models.approval import ApprovalVersion
from fitments.models.mark import IssuerMarkVersion
from fitments.models.organiser import CompetitionClassVersion
from fitments.rules.values import ApprovalFact, DaySpan, IssuerKind, MarkPolicy
from inventory.ground.planned import Planned
from inventory.ground.together import Asked


def approvals_for(
    *,
    vehicle_lines: Collection[int],
    classes: Collection[int] = (),
    in_force_on: date,
    known_on: datetime,
) -> dict[tuple[str, int], tuple[ApprovalFact, ...]]:
    """Every approval for some model ranges and classes, as known then; two queries in all.

    Keys are ("range", id) and ("class", id). Of an approval with several periods, the one in force
    on the day is given, else the nearest to it, so that "not any more" can be told from "never".
    """
    lines = list(vehicle_lines)
    rows = _of_both(lines, list(classes), known_on) if classes else _of_lines(lines, known_on)
    chosen = nearest_versions(rows, in_force_on)
    papers = papers_asked([row.pk for row in chosen], known_on).answer() if chosen else {}
    found: dict[tuple[str, int], list[ApprovalFact]] = defaultdict(list)
    for row in chosen:
        kind, about = ("range", row.line_id) if row.line_id else ("class", row.class_id)
        found[kind, about].append(fact_of(row, papers.get(row.pk, []), known_on))
    return {key: tuple(facts) for key, facts in found.items()}


def nearest_versions(versions: Iterable[Any], day: date) -> list[Any]:
    """Of each approval the version in force on a day, else the nearest to it, in their order."""
    chosen: dict[int, Any] = {}
    for row in versions:
        nearest = chosen.setdefault(row.approval_id, row)
        if nearest is not row and _days_off(row, day) < _days_off(nearest, day):
            chosen[row.approval_id] = row
    return list(chosen.values())


def versions_asked(versions: Collection[int], known_on: datetime) -> Asked[list[Any]]:
    """What was known of some versions of approvals by car makers, in the order of their codes."""
    return _of_versions.asked(list(versions), known_on)


def papers_asked(versions: Collection[int], known_on: datetime) -> Asked[dict[int, list[Paper]]]:
    """The documents of each version, as they were known."""
    return Asked(_PAPERS, [known_on, list(versions)], _by_version)


_COLUMNS = {
    "valid_from": "valid__startswith",
    "valid_until": "valid__endswith",
    "code": "approval__code",
    "line_id": "approval__vehicle_line_id",
    "class_id": "approval__competition_class_id",
    "axle": "approval__axle",
    "size": "approval__size",
    "size_keys": "approval__size_keys",
    "pattern_id": "approval__pattern_id",
    "compound_id": "approval__compound_id",
    "mark": "approval__mark",
    "mark_issue": "approval__mark_issue",
    "by_list": "approval__by_list",
    "car_maker": "approval__car_maker__name",
    "line": "approval__vehicle_line__name",
    "pattern_maker": "approval__pattern__maker__name",
    "pattern": "approval__pattern__name",
    "compound": "approval__compound__code",
    "later_code": "superseded_by__code",
    "later_mark": "superseded_by__mark",
    "later_issue": "superseded_by__mark_issue",
}
_OF_CLASS = {
    "organiser": "approval__competition_class__organiser__name",
    "class_today": "approval__competition_class__name",
    "season": "approval__competition_class__season",
}
_OF_VERSION = (
    *("pk", "approval_id", "withdrawn_on", "superseded_by_id"),
    *("least_load_index", "buffing_allowed", "conditions"),
)


def _known_of(scope: Q, known_on: datetime, *, of_classes: bool) -> QuerySet[ApprovalVersion, Any]:
    """What was known of approvals and of their marks, as plain rows, those of one together.

    No models are made, and no table is joined that nothing is asked of: a page of cars rests on
    hundreds of approvals, and the planner takes longer over ten tables than the rows do.
    """
    rows = ApprovalVersion.objects.filter(scope, known__contains=known_on)
    paths = {**_COLUMNS, **_OF_CLASS} if of_classes else _COLUMNS
    said: dict[str, Any] = {name: F(path) for name, path in paths.items()}
    said |= _said_of_mark(known_on)
    if of_classes:
        said["class_then"] = _class_name(known_on)
    return (
        rows.order_by("approval__code", "pk")
        .annotate(**said)
        .values_list(*_OF_VERSION, *said, named=True)
    )


_of_lines = Planned(
    lambda lines, known_on: _known_of(
        Q(approval__vehicle_line__in=lines), known_on, of_classes=False
    ),
    *([int], datetime),
)
_of_versions = Planned(
    lambda versions, known_on: _known_of(Q(pk__in=versions), known_on, of_classes=False),
    *([int], datetime),
)
_of_both = Planned(
    lambda lines, classes, known_on: _known_of(
        Q(approval__vehicle_line__in=lines) | Q(approval__competition_class__in=classes),
        known_on,
        of_classes=True,
    ),
    *([int], [int], datetime),
)


# What `known_papers` says, by hand: what is known on a day is taken for something rare by the
# planner, which would read all papers there are. OFFSET 0 has it go from paper to paper.
_PAPERS = """
SELECT x.approvalversion_id, p.reference, p.issuer, p.checked_at, p.checked_by_id, p.written_by_id
FROM fitments_approvalversion_evidence x
JOIN fitments_evidence e ON e.id = x.evidence_id
CROSS JOIN LATERAL (
    SELECT reference, issuer, checked_at, checked_by_id, written_by_id, known
    FROM fitments_evidenceversion WHERE evidence_id = e.id OFFSET 0
) p
WHERE p.known @> %s::timestamptz AND x.approvalversion_id = ANY(%s::bigint[])
ORDER BY e.code
"""


class Paper(NamedTuple):
    """A document that a version of an approval rests on, as it was known."""

    version: int
    then_reference: str
    then_issuer: str
    then_checked_at: datetime | None
    then_checked_by_id: int | None
    then_written_by_id: int | None


def _by_version(rows: Iterable[Any]) -> dict[int, list[Paper]]:
    found: dict[int, list[Paper]] = {}
    for row in rows:
        found.setdefault(row[0], []).append(Paper(*row))
    return found


def _said_of_mark(known_on: datetime) -> dict[str, Any]:
    """What was known of an approval's mark: mixing issues, and words for old stock."""
    rows = IssuerMarkVersion.objects.filter(
        issuer_mark__car_maker=OuterRef("approval__car_maker"),
        issuer_mark__mark__iexact=OuterRef("approval__mark"),
        known__contains=known_on,
    ).order_by("pk")
    return {
        "mark_mixing": Subquery(rows.values("mixing")[:1]),
        "mark_old_stock": Subquery(rows.values("old_stock")[:1]),
    }


def _class_name(known_on: datetime) -> Subquery:
    """What the class of an approval was called then."""
    rows = CompetitionClassVersion.objects.filter(
        competition_class=OuterRef("approval__competition_class"), known__contains=known_on
    )
    return Subquery(rows.order_by("pk").values("name")[:1])


def _days_off(row: Any, day: date) -> int:
    """How many days a day lies outside a version's period; nought inside it."""
    span = _inclusive(row)
    if span.holds(day):
        return 0
    return (span.start - day).days if day < span.start else (day - span.end).days


def _inclusive(row: Any) -> DaySpan:
    """The period in days as people say it: the last day inclusive."""
    until = row.valid_until
    return DaySpan(row.valid_from, until - timedelta(days=1) if until else None)


def _issuer(row: Any) -> tuple[IssuerKind, str, str, int | None]:
    """Who says it and of what: held by the constraint approval_is_a_makers_or_an_organisers."""
    if row.line_id is not None:
        return IssuerKind.CAR_MAKER, row.car_maker, row.line, None
    return IssuerKind.ORGANISER, row.organiser, row.class_then or row.class_today, row.season


def fact_of(row: Any, papers: list[Any], known_on: datetime) -> ApprovalFact:
    """An approval as the rules see it, with the papers it rests on."""
    kind, issuer, scope, season = _issuer(row)
    return ApprovalFact(
        code=row.code,
        issuer_kind=kind,
        issuer=issuer,
        scope=scope,
        season=season,
        axle=row.axle,
        keys=frozenset(row.size_keys),
        size=row.size,
        pattern_key=row.pattern_id,
        pattern=f"{row.pattern_maker} {row.pattern}" if row.pattern_id else "",
        compound_key=row.compound_id,
        compound=row.compound or "",
        mark=row.mark,
        mark_issue=row.mark_issue,
        by_list=row.by_list,
        valid=_inclusive(row),
        withdrawn_on=row.withdrawn_on,
        superseded_by=_later(row) if row.superseded_by_id else "",
        least_load_index=row.least_load_index,
        buffing_allowed=row.buffing_allowed,
        conditions=row.conditions,
        mark_policy=MarkPolicy(row.mark_mixing) if row.mark_mixing else None,
        old_stock=row.mark_old_stock or "",
        basis=basis_of(papers, known_on),
        evidence=tuple(called(one) for one in papers),
    )


def _later(row: Any) -> str:
    """A later approval as a sentence names it: by its mark and issue, else by its code."""
    if row.later_mark:
        issue = f" issue {row.later_issue}" if row.later_issue else ""
        return f"{row.later_mark}{issue}"
    return str(row.later_code)
