"""The end of a short transfer: left behind after all, or written off, by another person if many."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities import writing_off
from inventory.activities.moving import Step, move_together
from inventory.activities.not_arrived import will_not_come
from inventory.activities.transferring.inhand import in_hand
from inventory.activities.transferring.refusals import (
    AskedAlready,
    NotThere,
    NotUnloadedThere,
    SayWhereItIs,
)
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.place import Place, PlaceKind
from inventory.models.transfer import ShortReason, Transfer, TransferLine
from inventory.models.write_off import WriteOff, WriteOffState

_KEPT_IN = (PlaceKind.STORAGE, PlaceKind.GOODS_IN, PlaceKind.QUARANTINE)


def end_short(
    *,
    transfer: Transfer,
    reason: str,
    why: str = "",
    found_in: Place | None = None,
    by: User,
    at: datetime,
) -> Transfer:
    """End a transfer of which something did not arrive, and say what became of that.

    What was left behind goes back into the place ``found_in`` of the site that sent it. The rest is
    written off: at once if it is few, else it waits for another person and the transfer with it.
    Raises ArrivedAlready, InOtherHands, AskedAlready, SayWhereItIs, NotThere, Faulty.
    """
    with transaction.atomic():
        held = in_hand(transfer, by=by, at=at)
        asked = held.write_offs.filter(state=WriteOffState.ASKED).order_by("pk").first()
        if asked is not None:
            raise AskedAlready(held, asked)
        held.short_reason, held.short_why = reason, why
        refuse_faulty(held, ("short_reason", "short_why"))
        lines = [line for line in held.lines.select_related("lot").order_by("pk") if line.to_come]
        if reason == ShortReason.LEFT_BEHIND:
            _back(held, lines, _kept_in(held, found_in), by=by, at=at)
        elif found_in is not None:
            raise SayWhereItIs(held.from_site, left_behind=False)
        else:
            _written_off(held, lines, reason, why, by=by, at=at)
    held.refresh_from_db()
    return held


def _kept_in(held: Transfer, place: Place | None) -> Place:
    if place is None:
        raise SayWhereItIs(held.from_site, left_behind=True)
    if place.site_id != held.from_site_id:
        raise NotThere(place, held.from_site, "found_in")
    if place.kind not in _KEPT_IN:
        raise NotUnloadedThere(place)
    return place


def _back(
    held: Transfer, lines: list[TransferLine], place: Place, *, by: User, at: datetime
) -> None:
    """It never left: the books are put right by moving it back."""
    steps = [Step(line.lot, held.through, place, line.to_come) for line in lines]
    note = f"{held.get_short_reason_display()}{f': {held.short_why}' if held.short_why else ''}"
    told = {"document": held.number, "note": note[:500]}
    move_together(steps=steps, transfer=held, by=by, at=at, **told)
    counts = {line.pk: line.to_come for line in lines}
    will_not_come(counts, held, held.short_reason, held.short_why, by=by, at=at)


def _written_off(
    held: Transfer, lines: list[TransferLine], reason: str, why: str, *, by: User, at: datetime
) -> None:
    missing = [
        WriteOff(
            lot=line.lot, place=held.through, quantity=line.to_come, reason=reason, why=why,
            transfer=held, asked_at=at, asked_by=by,
        )
        for line in lines
    ]  # fmt: skip
    writing_off.write_off_together(rows=missing, by=by, at=at)
