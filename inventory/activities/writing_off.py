"""Tyres written off: at once up to a few, by another person above that."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.not_arrived import lock_transfer_of, refuse_what_came, written_off
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.ground.second_person import alone_up_to, self_checked
from inventory.ground.violations import named_violation
from inventory.ledger.held import lock_held
from inventory.ledger.lessening import post_found
from inventory.ledger.moves import Move, some
from inventory.ledger.post import NotThatMany
from inventory.models.balance import Balance
from inventory.models.hold import Hold
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import PostingKind
from inventory.models.write_off import WriteOff, WriteOffState

_MAY_POST = "inventory.change_writeoff"
_DECIDED = ("state", "decided_at", "decided_by", "answer", "posting", "self_checked")
_ROWS = WriteOff.objects.select_related("lot", "place", "transfer", "asked_by", "decided_by")


class DecidedAlready(Refusal):
    """Somebody decided before."""

    def __init__(self, row: WriteOff) -> None:
        super().__init__(
            f"{row.number} was {row.get_state_display()} by {row.decided_by}. Nothing was changed."
        )


class SayWhyNot(Refusal):
    """A write-off is refused for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why it is not written off.", field="answer")


def write_off(
    *,
    lot: Lot,
    place: Place,
    quantity: int,
    reason: str,
    why: str = "",
    by: User,
    at: datetime,
) -> tuple[WriteOff, tuple[Hold, ...]]:
    """Write off so many of a lot, or ask another person to; the holds it broke are answered too.

    Raises Faulty, NoneAsked, NotWhole, TooMany, NotThatMany.
    """
    some(quantity)
    row = WriteOff(
        lot=lot, place=place, quantity=quantity, reason=reason, why=why, asked_at=at, asked_by=by,
        alone_up_to=alone_up_to(),
    )  # fmt: skip
    refuse_faulty(row, ["reason", "why"])
    # Who asks is told at once that there are not so many; the posting looks again, locked.
    lies = Balance.objects.filter(lot=lot, place=place).first()
    if quantity > (lies.on_hand if lies else 0):
        move = Move(lot.pk, place.pk, -quantity)
        raise NotThatMany(move, lies.on_hand if lies else 0, lies.held if lies else 0)
    with transaction.atomic(), named_violation():
        row.save(force_insert=True)
        return _posted(row, by=by, at=at) if quantity <= row.alone_up_to else (row, ())


def write_off_together(*, rows: Sequence[WriteOff], by: User, at: datetime) -> None:
    """Write off what is missing of one transfer, which is locked; many wait for another person.

    All of the rows count together: a few of each lot are no few. Raises Faulty, NotThatMany.
    """
    limit = alone_up_to()
    for row in rows:
        row.alone_up_to = limit
        refuse_faulty(row, ["reason", "why"])
    with transaction.atomic(), named_violation():
        for row in rows:
            row.save(force_insert=True)
        if sum(row.quantity for row in rows) <= limit:
            # all locks are had before the first posting, in the order of the ledger
            lock_held([(row.lot_id, row.place_id) for row in rows], by=by, at=at)
            for row in rows:
                _posted(row, by=by, at=at)


def pass_write_off(
    *, row: WriteOff, alone: bool = False, by: User, at: datetime
) -> tuple[WriteOff, tuple[Hold, ...]]:
    """Post a write-off that was asked for, by somebody else; ``alone``: self-checked.

    Raises DecidedAlready, AnotherPersonIsWanted, NotThatMany, CameAfterAll.
    """
    with transaction.atomic():
        lock_transfer_of(row)
        held = _asked(row)
        held.self_checked = self_checked(
            by=by, doers={held.asked_by_id}, permission=_MAY_POST, alone=alone
        )
        return _posted(held, by=by, at=at)


def refuse_write_off(*, row: WriteOff, answer: str, by: User, at: datetime) -> WriteOff:
    """Keep the tyres in the books, with the reason. Raises DecidedAlready, SayWhyNot, Faulty."""
    if not answer.strip():
        raise SayWhyNot
    with transaction.atomic():
        held = _asked(row)
        held.state, held.decided_at, held.decided_by = WriteOffState.REFUSED, at, by
        held.answer = answer.strip()
        refuse_faulty(held, ["answer"])
        held.save(update_fields=_DECIDED)
    return held


def _asked(row: WriteOff) -> WriteOff:
    held = locked_row(_ROWS, row.pk)
    if held.state != WriteOffState.ASKED:
        raise DecidedAlready(held)
    return held


def _posted(row: WriteOff, *, by: User, at: datetime) -> tuple[WriteOff, tuple[Hold, ...]]:
    refuse_what_came(row)
    move = Move(row.lot_id, row.place_id, -row.quantity)
    on = f" on {row.transfer}" if row.transfer else ""
    why = f"{row.number}, {row.get_reason_display()}{on}{f': {row.why}' if row.why else ''}"
    row.posting, broken = post_found(
        kind=PostingKind.WRITE_OFF, moves=[move], document=row.number, why=why[:500], by=by, at=at
    )
    row.state, row.decided_at, row.decided_by = WriteOffState.POSTED, at, by
    row.save(update_fields=_DECIDED)
    written_off(row, by=by, at=at)
    return row, broken
