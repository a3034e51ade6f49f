"""One transfer in hand: locked against others, and still to arrive."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.transferring.refusals import ArrivedAlready, InOtherHands, NotArriving
from inventory.ground.locking import locked_row
from inventory.models.transfer import TO_COME, Transfer, TransferState

_ROWS = ("from_site", "to_site", "through", "at_work_by", "ended_by")


def locked(transfer: Transfer) -> Transfer:
    """The transfer as it is now, and stays until the transaction ends. Raises ArrivedAlready."""
    held = locked_row(Transfer.objects.select_related(*_ROWS), transfer.pk)
    if held.state not in TO_COME:
        raise ArrivedAlready(held)
    return held


def in_hand(transfer: Transfer, *, by: User, at: datetime) -> Transfer:
    """The same, arriving, for whoever has it in hand: the first to begin, or who took it up.

    Raises ArrivedAlready, InOtherHands.
    """
    held = locked(transfer)
    if held.state == TransferState.ARRIVING and held.at_work_by_id != by.pk:
        raise InOtherHands(held)
    return _taken(held, by, at)


def take_up(*, transfer: Transfer, by: User, at: datetime) -> Transfer:
    """Go on with an arrival that somebody began. Raises ArrivedAlready, NotArriving."""
    with transaction.atomic():
        held = locked(transfer)
        if held.state == TransferState.ON_THE_WAY:
            raise NotArriving(held)
        return _taken(held, by, at)


def _taken(held: Transfer, by: User, at: datetime) -> Transfer:
    held.state, held.at_work_by, held.at_work_at = TransferState.ARRIVING, by, at
    held.save(update_fields=["state", "at_work_by", "at_work_at"])
    return held
