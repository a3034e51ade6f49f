"""Approvals of some model ranges as one tyre comes to them: those of its size, and who else.

A page of cars rests on hundreds of approvals. Of those that are of other sizes the rules say only
who approves something else there (`fitments.rules.approval`), so no papers are asked of them, and
they are told apart by nothing else.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime
from typing import Any

from django.db.models import F

from fitments.lookup.approvals import (
    fact_of,
    inclusive,
    nearest_versions,
    papers_asked,
    versions_asked,
)
from fitments.models.approval import ApprovalVersion
from fitments.rules.values import ApprovalFact, IssuerKind
from inventory.ground.planned import Planned
from inventory.ground.together import Asked, Later, together

_SAID = {
    "valid_from": "valid__startswith",
    "valid_until": "valid__endswith",
    "line_id": "approval__vehicle_line_id",
    "axle": "approval__axle",
    "size_keys": "approval__size_keys",
    "mark": "approval__mark",
    "mark_issue": "approval__mark_issue",
    "by_list": "approval__by_list",
    "car_maker": "approval__car_maker__name",
    "line": "approval__vehicle_line__name",
}
_briefly: Planned[Any] = Planned(
    lambda lines, known_on: (
        ApprovalVersion.objects.filter(approval__vehicle_line__in=lines, known__contains=known_on)
        .order_by("approval__code", "pk")
        .annotate(**{name: F(path) for name, path in _SAID.items()})
        .values_list("pk", "approval_id", "withdrawn_on", *_SAID, named=True)
    ),
    *([int], datetime),
)
Facts = dict[int, tuple[ApprovalFact, ...]]
"""By the key of the model range."""


def briefly_asked(lines: Collection[int], known_on: datetime) -> Asked[list[Any]]:
    """Every approval of some model ranges, without what it rests on; to be sent with others."""
    return _briefly.asked(list(lines), known_on)


def facts_for(
    keys: frozenset[str], rows: Iterable[Any], *, in_force_on: date, known_on: datetime
) -> Facts:
    """The approvals that may be of a size in full, and each different word of others in force.

    ``rows`` as ``briefly_asked`` finds them. Two queries where any is of the size, else none.
    """
    found: dict[int, list[ApprovalFact]] = defaultdict(list)
    own: list[int] = []
    others: dict[tuple[Any, ...], Any] = {}
    for row in nearest_versions(rows, in_force_on):
        if not row.size_keys or not keys.isdisjoint(row.size_keys):
            own.append(row.pk)
        elif _holds(row, in_force_on):
            others.setdefault(
                (row.line_id, row.axle, row.by_list, row.mark, row.mark_issue, row.car_maker), row
            )
    for line, fact in _in_full(own, known_on):
        found[line].append(fact)
    for row in others.values():
        found[row.line_id].append(_other(row))
    return {line: tuple(facts) for line, facts in found.items()}


def _in_full(versions: list[int], known_on: datetime) -> Iterable[tuple[int, ApprovalFact]]:
    if not versions:
        return
    with together():
        told = Later(versions_asked(versions, known_on))
        papers = Later(papers_asked(versions, known_on))
    on_file = papers.told()
    for row in told.told():
        yield row.line_id, fact_of(row, on_file.get(row.pk, []), known_on)


def _holds(row: Any, day: date) -> bool:
    withdrawn = row.withdrawn_on is not None and row.withdrawn_on <= day
    return inclusive(row).holds(day) and not withdrawn


def _other(row: Any) -> ApprovalFact:
    """Who approves another size; that it holds has been looked at."""
    return ApprovalFact(
        code="",
        issuer_kind=IssuerKind.CAR_MAKER,
        issuer=row.car_maker,
        scope=row.line,
        axle=row.axle,
        keys=frozenset(row.size_keys),
        mark=row.mark,
        mark_issue=row.mark_issue,
        by_list=row.by_list,
    )
