"""The register of approvals: record, correct, supersede, withdraw. Nothing is ever edited away.

When something became known is for the database's clock to say; ``at`` is when the person said it,
and gives the day where none is named.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace as with_changes
from datetime import date, datetime, timedelta
from typing import Any, TypedDict, TypeVar, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from fitments.activities import versions
from fitments.activities.claims import CLAIMS, said_faults
from fitments.activities.versions import Said
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, VehicleLine
from fitments.models.evidence import Evidence
from fitments.models.organiser import CompetitionClass
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.entries.writing import settle
from inventory.ground.refusal import Refusal, StaleVersion
from inventory.ground.retry import retried
from inventory.ground.violations import named_violation
from inventory.models.maker import Compound, Pattern

T = TypeVar("T")
_DAY = timedelta(days=1)


class NothingInForce(Refusal):
    """There is nothing that could be superseded or withdrawn."""


class ClaimValues(TypedDict, total=False):
    """What an approval is about: a car maker's model range or an organiser's class, and a tyre."""

    code: str
    car_maker: CarMaker | None
    vehicle_line: VehicleLine | None
    competition_class: CompetitionClass | None
    axle: str
    size_text: str
    pattern: Pattern | None
    compound: Compound | None
    mark: str
    mark_issue: str
    by_list: bool


class SaidChanges(TypedDict, total=False):
    """What can be corrected: the fields of ``Said``."""

    valid_from: date | None
    valid_to: date | None
    withdrawn_on: date | None
    superseded_by: Approval | None
    least_load_index: int | None
    buffing_allowed: bool | None
    conditions: str
    evidence: frozenset[Evidence]


def record(
    *, said: Said, why: str = "", by: User, at: datetime, **claim: Unpack[ClaimValues]
) -> Approval:
    """Enter a new approval with what is said of it. Raises Faulty, Violated."""
    values = {**claim, "said": said, "why": why}
    return written(lambda: CLAIMS.make(values, by=by, at=at))


def record_each(*, axles: Sequence[str], by: User, at: datetime, **claim: Any) -> list[Approval]:
    """As ``record``, one approval an axle, all or none; of two, the codes end in -F and -R."""
    endings = [""] if len(axles) == 1 else [f"-{axle[0].upper()}" for axle in axles]
    rows = [
        {**claim, "axle": axle, "code": claim["code"] + ending}
        for axle, ending in zip(axles, endings, strict=True)
    ]
    return written(lambda: [CLAIMS.make(row, by=by, at=at) for row in rows])


def add_period(
    *, approval: Approval, said: Said, why: str, by: User, at: datetime
) -> ApprovalVersion:
    """Say that an approval is, or was, in force at another time as well.

    Raises Violated where something is said of some of these days already; Faulty.
    """
    faults = [*said_faults(said), *unexplained(why)]
    return _under_lock(
        approval, lambda: _replaced([], [(approval, said)], faults, why=why, by=by)[0]
    )


def correct(
    *, version: ApprovalVersion, why: str, by: User, at: datetime, **changes: Unpack[SaidChanges]
) -> ApprovalVersion:
    """Put something else in the place of what is said now; ``changes`` are fields of ``Said``.

    Raises StaleVersion where the version is not what is said any more; Faulty, Violated.
    """

    def work() -> ApprovalVersion:
        held = _still_current(version)
        said = with_changes(Said.of(held), **changes)
        faults = [*said_faults(said), *unexplained(why)]
        if said == Said.of(held):
            faults.append(Fault("", "This says just what is said already."))
        return _replaced([held], [(held.approval, said)], faults, why=why, by=by)[0]

    return _under_lock(version.approval, work)


def supersede(
    *,
    approval: Approval,
    successor: Approval,
    first_day: date | None = None,
    why: str,
    by: User,
    at: datetime,
) -> list[ApprovalVersion]:
    """Let another approval take the place of one from a day on: the old one ends the day before.

    That day is the one of ``at`` unless another is given. Raises NothingInForce where nothing is
    in force before it; Faulty.
    """
    day = first_day or timezone.localdate(at)
    if successor.pk == approval.pk:
        raise Faulty([Fault("successor", "An approval cannot supersede itself.")])

    def work() -> list[ApprovalVersion]:
        held = versions.current([approval]).get(approval.pk, [])
        kept = ended_by(successor, [Said.of(one) for one in held], day)
        if not kept:
            raise NothingInForce(
                f"{approval.code} is not in force before {day.isoformat()}, so that nothing "
                "could take its place then.",
                field="first_day",
            )
        said_now = [(approval, said) for said in kept]
        return _replaced(held, said_now, unexplained(why), why=why, by=by)

    return _under_lock(approval, work)


def withdraw(
    *, approval: Approval, on: date | None = None, why: str, by: User, at: datetime
) -> list[ApprovalVersion]:
    """Say that an approval is withdrawn as of a day, for every time it was in force.

    That day is the one of ``at`` unless another is given. Raises NothingInForce where all of it
    is withdrawn already; Faulty.
    """
    day = on or timezone.localdate(at)

    def work() -> list[ApprovalVersion]:
        held = [
            version
            for version in versions.current([approval]).get(approval.pk, [])
            if version.withdrawn_on is None
        ]
        if not held:
            raise NothingInForce(f"{approval.code} is withdrawn already, or never was in force.")
        said = [(approval, with_changes(Said.of(one), withdrawn_on=day)) for one in held]
        faults = [fault for _, one in said for fault in said_faults(one)]
        return _replaced(held, said, [*faults, *unexplained(why)], why=why, by=by)

    return _under_lock(approval, work)


def ended_by(successor: Approval, said: Sequence[Said], first_day: date) -> list[Said]:
    """What is still said of an approval when another takes its place from a day on."""
    return [
        with_changes(one, **_ended(one, successor, first_day))
        for one in said
        if one.valid_from is None or one.valid_from < first_day
    ]


def _ended(said: Said, successor: Approval, first_day: date) -> dict[str, Any]:
    """The changes that end a period on the day before; one that ends earlier keeps its end."""
    last = first_day - _DAY
    if said.valid_to is not None and said.valid_to < last:
        return {"superseded_by": successor}
    return {"valid_to": last, "superseded_by": successor}


def unexplained(why: str) -> list[Fault]:
    """A fault where no reason is given."""
    return [] if why.strip() else [Fault("why", "Say why, for whoever reads this in ten years.")]


def _still_current(version: ApprovalVersion) -> ApprovalVersion:
    held = versions.current([version.approval]).get(version.approval_id, [])
    same = next((one for one in held if one.pk == version.pk), None)
    if same is None:
        raise StaleVersion
    return same


def _replaced(
    closed: list[ApprovalVersion],
    said: list[tuple[Approval, Said]],
    faults: list[Fault],
    *,
    why: str,
    by: User,
) -> list[ApprovalVersion]:
    if faults:
        raise Faulty(faults)
    return versions.replace(closed, said, why=why, by=by)


def _under_lock(approval: Approval, work: Callable[[], T]) -> T:
    def locked() -> T:
        versions.lock([approval])
        return work()

    return written(locked)


def written(work: Callable[[], T]) -> T:
    """Do it in a transaction, again where others were in the way; what is refused, in words."""

    def once() -> T:
        with transaction.atomic(), named_violation():
            done = work()
            settle()
        return done

    return retried(once)
