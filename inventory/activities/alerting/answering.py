"""What a person says to an alert: seen to, left until a day, or another number, with the reason."""

from __future__ import annotations

from datetime import date, datetime
from typing import TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.models.alert import AgeingAlert, Alert, AlertOverride

A = TypeVar("A", Alert, AgeingAlert)


class TrueNoMore(Refusal):
    """The alert ended meanwhile."""

    sentence = (
        "This alert is true no more: what it warned of is ordered, has come or was sold. "
        "Nothing was changed."
    )


class SayWhy(Refusal):
    """An alert is left, or its number changed, for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why.", field="why")


class LeaveUntilALaterDay(Refusal):
    """An alert is left until a day that is still to come."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Leave it until a day after today.", field="until")


class NotANumberToOrder(Refusal):
    """A number of pieces that no order has."""

    status = 400

    def __init__(self) -> None:
        super().__init__("An order is of 0 to 100,000 pieces.", field="pieces")


def acknowledge(*, alert: A, by: User, at: datetime) -> A:
    """Say that somebody sees to it. The first who says so is kept. Raises TrueNoMore."""
    with transaction.atomic():
        held = _held(alert)
        if held.acknowledged_at is None:
            held.acknowledged_at, held.acknowledged_by = at, by
            held.save(update_fields=["acknowledged_at", "acknowledged_by"])
    return held


def leave(*, alert: A, until: date, why: str, by: User, at: datetime) -> A:
    """Leave it until a day: it is not shown before. Raises TrueNoMore, LeaveUntilALaterDay, SayWhy,
    Faulty."""
    if not why.strip():
        raise SayWhy
    if until <= timezone.localdate(at):
        raise LeaveUntilALaterDay
    with transaction.atomic():
        held = _held(alert)
        held.left_until, held.left_why, held.left_at, held.left_by = until, why.strip(), at, by
        refuse_faulty(held, ["left_why"])
        with named_violation():
            held.save(update_fields=["left_until", "left_why", "left_at", "left_by"])
    return held


def override(
    *, alert: Alert, pieces: int | None, why: str, by: User, at: datetime
) -> AlertOverride:
    """Order another number than the tool's, 0 among them; None: the tool's own again.

    The tool's number stays beside it. Raises TrueNoMore, NotANumberToOrder, SayWhy, Faulty.
    """
    if not why.strip():
        raise SayWhy
    if pieces is not None and not 0 <= pieces <= 100_000:
        raise NotANumberToOrder
    with transaction.atomic():
        held = _held(alert)
        said = AlertOverride(
            alert=held,
            pieces=pieces,
            tool_pieces=held.pieces,
            why=why.strip(),
            made_at=at,
            made_by=by,
        )
        refuse_faulty(said, ["why"])
        with named_violation():
            said.save(force_insert=True)
    return said


def _held(alert: A) -> A:
    """The row, locked against the night and against others."""
    rows = type(alert)._default_manager.select_for_update(no_key=True)
    held: A = rows.get(pk=alert.pk)
    if held.ended_at is not None:
        raise TrueNoMore
    return held
