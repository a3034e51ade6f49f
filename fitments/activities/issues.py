"""A new issue of a mark supersedes the one before, for every pattern, size and range it is for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User

from fitments.activities import versions
from fitments.activities.approvals import ended_by, unexplained, written
from fitments.activities.claims import CLAIMS
from fitments.activities.versions import Said
from fitments.lookup.issues import Change, NewIssue, changes_by
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.evidence import Evidence
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.refusal import Refusal


class NothingOfThatIssue(Refusal):
    """No approval of the old issue is in force before the day, in what was asked for."""


@dataclass(frozen=True, slots=True)
class Superseded:
    """What a new issue has changed: each old approval with the one in its place."""

    pairs: tuple[tuple[Approval, Approval], ...]
    recorded: int


def bring_in(
    *, asked: NewIssue, evidence: Collection[Evidence] = (), why: str, by: User, at: datetime
) -> Superseded:
    """Let a new issue take the place of the old from a day on, all or nothing.

    Each approval of the old issue ends the day before; the one of the new issue is recorded with
    the same load index, buffing and conditions and with ``evidence``, unless it is in the register
    already: then what is said of it stays. Raises NothingOfThatIssue, Faulty, Violated.
    """
    faults = list(_faults(asked, why))
    if faults:
        raise Faulty(faults)

    def work() -> Superseded:
        versions.lock([change.old for change in changes_by(asked)])
        changes = changes_by(asked)  # as it is under the locks
        if not changes:
            raise NothingOfThatIssue(
                f"No approval of {asked.mark} issue {asked.old_issue or '(none)'} is in force "
                f"before {asked.first_day.isoformat()} for what you asked, so that nothing could "
                "take its place.",
                field="old_issue",
            )
        held = versions.current([change.old for change in changes])
        _record(changes, held, asked, frozenset(evidence), why=why, by=by, at=at)
        later = {one.old.pk: one.successor for one in changes_by(asked)}
        pairs = tuple((one.old, _there(later[one.old.pk])) for one in changes)
        _end(pairs, held, asked, why=why, by=by)
        return Superseded(pairs, sum(one.successor is None for one in changes))

    return written(work)


def _faults(asked: NewIssue, why: str) -> Collection[Fault]:
    found = unexplained(why)
    if not asked.new_issue.strip():
        found.append(Fault("new_issue", "Say which issue takes its place."))
    if asked.new_issue.strip().upper() == asked.old_issue.strip().upper():
        found.append(Fault("new_issue", "An issue cannot take its own place."))
    line = asked.vehicle_line
    if line is not None and line.maker_id != asked.car_maker.pk:
        words = f"{line.name} is not a model range of {asked.car_maker}."
        found.append(Fault("vehicle_line", words))
    return found


def _record(
    changes: Collection[Change],
    held: Mapping[int, list[ApprovalVersion]],
    asked: NewIssue,
    evidence: frozenset[Evidence],
    *,
    why: str,
    by: User,
    at: datetime,
) -> None:
    """Enter the approvals of the new issue that are not in the register yet."""
    rows = [
        {
            **{name: getattr(change.old, name) for name in _SAME},
            "code": change.code,
            "mark_issue": asked.new_issue,
            "said": _said(held[change.old.pk], asked, evidence),
            "why": why,
        }
        for change in changes
        if change.successor is None
    ]
    taken = Approval.objects.filter(code__in=[row["code"] for row in rows]).order_by("code")
    if names := ", ".join(one.code for one in taken):
        words = f"The register has another approval under the code {names}: record the new one."
        raise Faulty([Fault("new_issue", words)])
    CLAIMS.enter(rows, by=by, at=at)


_SAME = ("car_maker", "vehicle_line", "axle", "size_text", "pattern", "compound", "mark")


def _said(held: list[ApprovalVersion], asked: NewIssue, evidence: frozenset[Evidence]) -> Said:
    """What is said of the new one: as of the latest period of the old, from the day on."""
    last = held[-1]
    return Said(
        valid_from=asked.first_day,
        least_load_index=last.least_load_index,
        buffing_allowed=last.buffing_allowed,
        conditions=last.conditions,
        evidence=evidence,
    )


def _there(successor: Approval | None) -> Approval:
    assert successor is not None  # noqa: S101  # it was recorded a moment ago
    return successor


def _end(
    pairs: Collection[tuple[Approval, Approval]],
    held: Mapping[int, list[ApprovalVersion]],
    asked: NewIssue,
    *,
    why: str,
    by: User,
) -> None:
    """End what is said of the old ones, all at one moment."""
    closed = [version for old, _ in pairs for version in held[old.pk]]
    said = [
        (old, one)
        for old, later in pairs
        for one in ended_by(later, [Said.of(each) for each in held[old.pk]], asked.first_day)
    ]
    versions.replace(closed, said, why=why, by=by)
