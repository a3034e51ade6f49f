"""Approvals as they were known at a moment, about a day: what the rules weigh."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery

from fitments.lookup.papers import basis_of, called, known_papers
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.mark import IssuerMarkVersion
from fitments.models.organiser import CompetitionClassVersion
from fitments.rules.values import ApprovalFact, DaySpan, IssuerKind, MarkPolicy


def approvals_for(
    *,
    vehicle_lines: Collection[int],
    classes: Collection[int] = (),
    in_force_on: date,
    known_on: datetime,
) -> dict[tuple[str, int], tuple[ApprovalFact, ...]]:
    """Every approval for some model ranges and classes, as known then; three queries in all.

    Keys are ("range", id) and ("class", id). Of an approval with several periods, the one in force
    on the day is given, else the nearest to it, so that "not any more" can be told from "never".
    """
    scope = Q(vehicle_line__in=vehicle_lines)
    if classes:
        scope |= Q(competition_class__in=classes)
    found: dict[tuple[str, int], list[ApprovalFact]] = defaultdict(list)
    for approval in _known_of(scope, known_on):
        known = approval.known_versions
        if not known:
            continue
        version = min(known, key=lambda one: (_days_off(one, in_force_on), one.pk))
        fact = _fact(approval, version, known_on)
        if approval.vehicle_line_id is not None:
            found["range", approval.vehicle_line_id].append(fact)
        elif approval.competition_class_id is not None:
            found["class", approval.competition_class_id].append(fact)
    return {key: tuple(facts) for key, facts in found.items()}


def _known_of(scope: Q, known_on: datetime) -> QuerySet[Any]:
    """Approvals with what was known of each, of its documents and of its mark."""
    versions = (
        ApprovalVersion.objects.filter(known__contains=known_on)
        .select_related("superseded_by")
        .prefetch_related(Prefetch("evidence", known_papers(known_on), to_attr="papers"))
        .order_by("pk")
    )
    return (
        Approval.objects.filter(scope)
        .select_related(
            "car_maker",
            "vehicle_line",
            "competition_class__organiser",
            "pattern__maker",
            "compound",
        )
        .annotate(**_said_of_mark(known_on), class_name=_class_name(known_on))
        .prefetch_related(Prefetch("versions", versions, to_attr="known_versions"))
        .order_by("code")
    )


def _said_of_mark(known_on: datetime) -> dict[str, Any]:
    """What was known of an approval's mark: mixing issues, and words for old stock."""
    rows = IssuerMarkVersion.objects.filter(
        issuer_mark__car_maker=OuterRef("car_maker"),
        issuer_mark__mark__iexact=OuterRef("mark"),
        known__contains=known_on,
    ).order_by("pk")
    return {
        "mark_mixing": Subquery(rows.values("mixing")[:1]),
        "mark_old_stock": Subquery(rows.values("old_stock")[:1]),
    }


def _class_name(known_on: datetime) -> Subquery:
    """What the class of an approval was called then."""
    rows = CompetitionClassVersion.objects.filter(
        competition_class=OuterRef("competition_class"), known__contains=known_on
    )
    return Subquery(rows.order_by("pk").values("name")[:1])


def _days_off(version: ApprovalVersion, day: date) -> int:
    """How many days a day lies outside a version's period; nought inside it."""
    span = _inclusive(version)
    if span.holds(day):
        return 0
    return (span.start - day).days if day < span.start else (day - span.end).days


def _inclusive(version: ApprovalVersion) -> DaySpan:
    """The period in days as people say it: the last day inclusive."""
    upper = version.valid.upper
    return DaySpan(version.valid.lower, upper - timedelta(days=1) if upper else None)


def _issuer(approval: Any) -> tuple[IssuerKind, str, str, int | None]:
    if approval.car_maker is not None and approval.vehicle_line is not None:
        return IssuerKind.CAR_MAKER, approval.car_maker.name, approval.vehicle_line.name, None
    one = approval.competition_class
    assert one is not None  # noqa: S101  # held by the constraint approval_is_a_makers_or_an_organisers
    return IssuerKind.ORGANISER, one.organiser.name, approval.class_name or one.name, one.season


def _fact(approval: Any, version: Any, known_on: datetime) -> ApprovalFact:
    kind, issuer, scope, season = _issuer(approval)
    papers = version.papers
    later = version.superseded_by
    return ApprovalFact(
        code=approval.code,
        issuer_kind=kind,
        issuer=issuer,
        scope=scope,
        season=season,
        axle=approval.axle,
        keys=frozenset(approval.size_keys),
        size=approval.size,
        pattern_key=approval.pattern_id,
        pattern=str(approval.pattern) if approval.pattern else "",
        compound_key=approval.compound_id,
        compound=approval.compound.code if approval.compound else "",
        mark=approval.mark,
        mark_issue=approval.mark_issue,
        by_list=approval.by_list,
        valid=_inclusive(version),
        withdrawn_on=version.withdrawn_on,
        superseded_by=_called(later) if later else "",
        least_load_index=version.least_load_index,
        buffing_allowed=version.buffing_allowed,
        conditions=version.conditions,
        mark_policy=MarkPolicy(approval.mark_mixing) if approval.mark_mixing else None,
        old_stock=approval.mark_old_stock or "",
        basis=basis_of(papers, known_on),
        evidence=tuple(called(one) for one in papers),
    )


def _called(approval: Approval) -> str:
    """A later approval as a sentence names it: by its mark and issue, else by its code."""
    if approval.mark:
        issue = f" issue {approval.mark_issue}" if approval.mark_issue else ""
        return f"{approval.mark}{issue}"
    return str(approval.code)
