"""A set left out of a list, a list cancelled: what was picked goes back to where it came from."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.picking.inhand import PICKING, UNDER_WAY, locked, locked_holds
from inventory.activities.picking.putting_back import put_back
from inventory.activities.picking.refusals import (
    LineOfAnotherList,
    NotThatManyParcels,
    SayWhy,
    StillToDo,
)
from inventory.activities.picking.standing import settle_state
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.hold import Hold, HoldState
from inventory.models.pick import PickLineState, PickList, PickListState

MOST_PARCELS = 999


def pack(*, pick_list: PickList, parcels: int, by: User, at: datetime) -> PickList:
    """Say that all of it is packed, in so many parcels.

    Raises OrderIsClosed, ListHasEnded, NotAtThisStep, NotThatManyParcels, and StillToDo with what
    is to be picked or missing.
    """
    if isinstance(parcels, bool) or not isinstance(parcels, int):
        raise NotThatManyParcels(parcels, MOST_PARCELS)
    if not 1 <= parcels <= MOST_PARCELS:
        raise NotThatManyParcels(parcels, MOST_PARCELS)
    with transaction.atomic():
        listed = locked(pick_list, at_step=PICKING, wanted="only what is picked can be packed")
        stands = settle_state(listed)
        if stands.still_to_do:
            raise StillToDo(listed, stands.still_to_do)
        listed.state, listed.parcels = PickListState.PACKED, parcels
        listed.packed_at, listed.packed_by = at, by
        listed.save(update_fields=["state", "parcels", "packed_at", "packed_by"])
    return listed


def cancel_list(*, pick_list: PickList, why: str, by: User, at: datetime) -> PickList:
    """Cancel a list: what was picked goes back to its rack and stays held for the order.

    Raises OrderIsClosed, ListHasEnded, SayWhy.
    """
    if not why.strip():
        raise SayWhy("the list is cancelled")
    with transaction.atomic():
        listed = locked(pick_list, at_step=UNDER_WAY, wanted="")
        holds = locked_holds(_holds_on(listed))
        put_back(listed, holds, stays_held=True, by=by, at=at, why=why)
        _cancelled(listed, why=why, by=by, at=at)
    return listed


def leave_out(*, pick_list: PickList, hold: Hold, why: str, by: User, at: datetime) -> PickList:
    """Leave a set out that cannot be had: its hold is broken, its tyres go back and are free.

    A list with nothing left on it is cancelled. Raises OrderIsClosed, ListHasEnded, NotAtThisStep,
    LineOfAnotherList, SayWhy.
    """
    if not why.strip():
        raise SayWhy("the set is left out")
    with transaction.atomic():
        listed = locked(pick_list, at_step=PICKING, wanted="a set is left out before packing")
        if hold.pk not in _holds_on(listed):
            raise LineOfAnotherList(listed)
        broken = locked_holds([hold.pk])[hold.pk]
        mine = {broken.pk: broken}
        put_back(listed, mine, stays_held=False, by=by, at=at, why=why)
        if broken.state == HoldState.OPEN:
            _broken(broken, why=why, by=by, at=at)
        if not settle_state(listed).lines:
            _cancelled(listed, why=why, by=by, at=at)
    return listed


def _holds_on(listed: PickList) -> list[int]:
    """The holds of a list's lines, those left out excepted."""
    rows = listed.lines.exclude(state=PickLineState.BACK)
    return sorted(set(rows.order_by("pk").values_list("hold_id", flat=True)))


def _broken(hold: Hold, *, why: str, by: User, at: datetime) -> None:
    hold.state, hold.ended_at, hold.ended_by = HoldState.BROKEN, at, by
    hold.ended_why = why.strip()
    refuse_faulty(hold, ["ended_why"])
    hold.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])


def _cancelled(listed: PickList, *, why: str, by: User, at: datetime) -> None:
    listed.state, listed.ended_at, listed.ended_by = PickListState.CANCELLED, at, by
    listed.ended_why = why.strip()
    refuse_faulty(listed, ["ended_why"])
    listed.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
