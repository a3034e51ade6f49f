"""Transfers at their end: all of it arrived, or some never will."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.contrib.auth.models import User

from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.models.transfer import ShortReason, Transfer, TransferLine, TransferState
from inventory.models.write_off import WriteOff


class CameAfterAll(Refusal):
    """Some of what is to be written off has arrived in the meantime."""

    def __init__(self, row: WriteOff, left: int) -> None:
        super().__init__(
            f"{row.number} is about {row.quantity} of lot {row.lot.code}, and {left} of it are "
            f"still to come on {row.transfer}: refuse this, and end the transfer anew. "
            "Nothing was changed."
        )


def lock_transfer_of(row: WriteOff) -> None:
    """Lock the transfer that a write-off is about, as whoever books its arrival does."""
    if row.transfer_id is not None:
        locked_row(Transfer.objects.all(), row.transfer_id)


def refuse_what_came(row: WriteOff) -> None:
    """Refuse to write off what has arrived by now. Raises CameAfterAll."""
    if row.transfer_id is not None:
        line = TransferLine.objects.get(transfer=row.transfer_id, lot=row.lot_id)
        if row.quantity > line.to_come:
            raise CameAfterAll(row, line.to_come)


def written_off(row: WriteOff, *, by: User, at: datetime) -> None:
    """Tell the transfer, which is locked, that so many of a lot were written off."""
    if row.transfer_id is not None:
        transfer = Transfer.objects.get(pk=row.transfer_id)
        line = transfer.lines.get(lot=row.lot_id)
        will_not_come({line.pk: row.quantity}, transfer, row.reason, row.why, by=by, at=at)


def will_not_come(
    counts: dict[int, int], transfer: Transfer, reason: str, why: str, *, by: User, at: datetime
) -> None:
    """So many of these lines of a locked transfer do not arrive; where they went is booked."""
    lines = list(transfer.lines.order_by("pk"))
    for line in lines:
        line.missing += counts.get(line.pk, 0)
    transfer.short_reason, transfer.short_why = ShortReason(reason), why
    transfer.save(update_fields=["short_reason", "short_why"])
    TransferLine.objects.bulk_update(lines, ["missing"])
    end_if_all_told(transfer, lines, by=by, at=at)


def end_if_all_told(
    transfer: Transfer, lines: Iterable[TransferLine], *, by: User, at: datetime
) -> None:
    """End a transfer of which nothing is still to come."""
    known = list(lines)
    if any(line.to_come for line in known):
        return
    short = any(line.missing for line in known)
    transfer.state = TransferState.SHORT if short else TransferState.ARRIVED
    transfer.ended_at, transfer.ended_by = at, by
    transfer.save(update_fields=["state", "ended_at", "ended_by"])
