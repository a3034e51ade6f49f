"""Approvals of some model ranges as one tyre comes to them: those of its size, and who else.

A page of cars rests on hundreds of approvals. Of those that are of other sizes the rules say only
who approves something else there (`fitments.rules.approval`), so no papers are asked of them, and
they are told apart by nothing else.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, datetime
from functools import lru_cache
from typing import Any, NamedTuple

from fitments.lookup.approvals import (
    fact_of,
    nearest_versions,
    papers_asked,
    versions_asked,
)
from fitments.rules.values import ApprovalFact, IssuerKind
from inventory.ground.together import Asked, Later, together

# By hand, for the planner takes "known then" for something rare, and it is nearly every row: it
# would read all versions there are to find those of a hundred ranges. OFFSET 0 has it go from
# approval to approval, to the handful that each has.
_BRIEFLY = """
WITH said AS (
    SELECT r.id AS line_id, r.name AS line, m.id AS maker_id, m.name AS maker
    FROM fitments_vehicleline r JOIN fitments_carmaker m ON m.id = r.maker_id
    WHERE r.id = ANY(%s::bigint[])
)
SELECT v.id, a.id, v.withdrawn_on, lower(v.valid), upper(v.valid), a.vehicle_line_id, a.axle,
    a.size_keys, a.mark, a.mark_issue, a.by_list,
    CASE WHEN a.car_maker_id = said.maker_id THEN said.maker
        ELSE (SELECT name FROM fitments_carmaker WHERE id = a.car_maker_id) END, said.line
FROM said
JOIN fitments_approval a ON a.vehicle_line_id = said.line_id
CROSS JOIN LATERAL (
    SELECT id, withdrawn_on, valid, known FROM fitments_approvalversion
    WHERE approval_id = a.id OFFSET 0
) v
WHERE v.known @> %s::timestamptz
ORDER BY a.code, v.id
"""


class Brief(NamedTuple):
    """An approval of a car maker, as it was known, without what it rests on."""

    pk: int
    approval_id: int
    withdrawn_on: date | None
    valid_from: date | None
    valid_until: date | None
    line_id: int
    axle: str
    size_keys: list[str]
    mark: str
    mark_issue: str
    by_list: bool
    car_maker: str
    line: str


class Approvals:
    """What is approved for some model ranges by their keys, for each axle as it is asked for."""

    def __init__(
        self, own: Mapping[int, Sequence[ApprovalFact]], others: Mapping[int, Iterable[Brief]]
    ) -> None:
        self._own, self._others = own, others
        self._here: dict[tuple[int, str], tuple[ApprovalFact, ...]] = {}

    def of_size(self, line: int, axle: str) -> list[ApprovalFact]:
        """Those that may be of the size, on this axle or any."""
        return [fact for fact in self._own.get(line, ()) if fact.axle in ("", axle)]

    def here(self, line: int, axle: str) -> tuple[ApprovalFact, ...]:
        """The same, and each different word of the others; one tuple however often it is asked."""
        known = self._here.get((line, axle))
        if known is None:
            others = [row for row in self._others.get(line, ()) if row.axle in ("", axle)]
            known = (*self.of_size(line, axle), *map(_other, others))
            self._here[line, axle] = known
        return known


def briefly_asked(lines: Collection[int], known_on: datetime) -> Asked[list[Brief]]:
    """Every approval of some model ranges, without what it rests on; to be sent with others."""
    return Asked(_BRIEFLY, [list(lines), known_on], lambda rows: list(map(Brief._make, rows)))


def approvals_of_size(
    keys: frozenset[str], rows: Iterable[Brief], *, in_force_on: date, known_on: datetime
) -> Approvals:
    """The approvals that may be of a size in full, and each different word of others in force.

    ``rows`` as ``briefly_asked`` finds them. Two queries where any is of the size, else none.
    """
    own: list[int] = []
    others: dict[int, dict[tuple[Any, ...], Brief]] = defaultdict(dict)
    for row in nearest_versions(rows, in_force_on):
        if not row.size_keys or not keys.isdisjoint(row.size_keys):
            own.append(row.pk)
        elif _holds(row, in_force_on):
            said = (row.axle, row.by_list, row.mark, row.mark_issue, row.car_maker)
            others[row.line_id].setdefault(said, row)
    found: dict[int, list[ApprovalFact]] = defaultdict(list)
    for line, fact in _in_full(own, known_on):
        found[line].append(fact)
    return Approvals(found, {line: rows.values() for line, rows in others.items()})


def _in_full(versions: list[int], known_on: datetime) -> Iterable[tuple[int, ApprovalFact]]:
    if not versions:
        return
    with together():
        told = Later(versions_asked(versions, known_on))
        papers = Later(papers_asked(versions, known_on))
    on_file = papers.told()
    for row in told.told():
        yield row.line_id, fact_of(row, on_file.get(row.pk, []), known_on)


def _holds(row: Brief, day: date) -> bool:
    """Whether it is in force on a day; the last day of a period as the database has it is out."""
    begun = row.valid_from is None or row.valid_from <= day
    ended = row.valid_until is not None and row.valid_until <= day
    return begun and not ended and (row.withdrawn_on is None or row.withdrawn_on > day)


def _other(row: Brief) -> ApprovalFact:
    """Who approves another size; that it holds has been looked at."""
    who, of = (row.car_maker, row.line, row.axle), (row.by_list, row.mark, row.mark_issue)
    return _given_by(*who, *of, tuple(row.size_keys))


@lru_cache(maxsize=20_000)  # the same ones, whichever tyre is asked about
def _given_by(
    maker: str, line: str, axle: str, by_list: bool, mark: str, issue: str, keys: tuple[str, ...]
) -> ApprovalFact:
    return ApprovalFact(
        code="",
        issuer_kind=IssuerKind.CAR_MAKER,
        issuer=maker,
        scope=line,
        axle=axle,
        keys=frozenset(keys),
        mark=mark,
        mark_issue=issue,
        by_list=by_list,
    )
