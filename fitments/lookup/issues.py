"""What a new issue of a mark takes the place of: by maker, mark, range, pattern and size."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from django.db.models import Q

from fitments.lookup.register import known
from fitments.models.approval import Approval, ApprovalVersion
from fitments.models.car import CarMaker, VehicleLine
from inventory.models.maker import Pattern

_CLAIM = ("vehicle_line_id", "axle", "size", "pattern_id", "compound_id")


@dataclass(frozen=True, slots=True, kw_only=True)
class NewIssue:
    """A later issue of a maker's mark, from a day on; for one range, pattern or size, or for all.

    ``size_keys`` as ``markings.search_keys`` gives them; empty: every size.
    """

    car_maker: CarMaker
    mark: str
    old_issue: str
    new_issue: str
    first_day: date
    vehicle_line: VehicleLine | None = None
    pattern: Pattern | None = None
    size_keys: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Change:
    """An approval, and the one that takes its place: in the register already, or to be recorded
    under ``code``."""

    old: Approval
    successor: Approval | None
    code: str


def changes_by(asked: NewIssue) -> tuple[Change, ...]:
    """What a new issue changes, by the codes of the approvals; three queries.

    Those count of which something is in force before the day that was not withdrawn and has no
    successor yet.
    """
    said = known(ApprovalVersion.objects.all(), None).filter(
        Q(valid__startswith__lt=asked.first_day) | Q(valid__lower_inf=True),
        withdrawn_on__isnull=True,
        superseded_by__isnull=True,
    )
    rows = Approval.objects.filter(
        car_maker=asked.car_maker, mark__iexact=asked.mark, by_list=False
    ).select_related("car_maker", "vehicle_line__maker", "pattern__maker", "compound")
    old = rows.filter(mark_issue__iexact=asked.old_issue, pk__in=said.values("approval_id"))
    if asked.vehicle_line is not None:
        old = old.filter(vehicle_line=asked.vehicle_line)
    if asked.pattern is not None:
        old = old.filter(pattern=asked.pattern)
    if asked.size_keys:
        old = old.filter(size_keys__overlap=list(asked.size_keys))
    there = {_claim(one): one for one in rows.filter(mark_issue__iexact=asked.new_issue)}
    return _changes(list(old.order_by("code")), there, asked)


def _changes(
    old: Sequence[Approval], there: dict[tuple[object, ...], Approval], asked: NewIssue
) -> tuple[Change, ...]:
    codes = [code_for(one.code, asked.old_issue, asked.new_issue) for one in old]
    return tuple(
        Change(one, there.get(_claim(one)), code) for one, code in zip(old, codes, strict=True)
    )


def _claim(approval: Approval) -> tuple[object, ...]:
    return tuple(getattr(approval, name) for name in _CLAIM)


def code_for(code: str, old_issue: str, new_issue: str) -> str:
    """The code of the later approval: the issue in it exchanged, or added before the axle's letter.

    ``HLM-SPR-2-F`` becomes ``HLM-SPR-3-F``; ``LETTER-F`` becomes ``LETTER-3-F``.
    """
    stem, axle = re.fullmatch(r"(.*?)(-[FR])?", code, re.IGNORECASE | re.DOTALL).groups("")  # type: ignore[union-attr]
    ending = f"-{old_issue}"
    if old_issue and stem.casefold().endswith(ending.casefold()):
        stem = stem[: -len(ending)]
    return f"{stem}-{new_issue}{axle}"
