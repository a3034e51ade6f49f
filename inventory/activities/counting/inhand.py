"""One count locked against others, and where its lots lie."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.counting.refusals import AtItsEnd, InOtherHands
from inventory.ground.locking import locked_row
from inventory.models.balance import Balance
from inventory.models.count import Count, CountState

_COUNTED = (CountState.COUNTING, CountState.AGAIN)


def locked(count: Count, also: CountState | None = None) -> Count:
    """The count as it is now, and stays until the transaction ends. Raises AtItsEnd."""
    held = locked_row(Count.objects.with_names(), count.pk)
    if held.state not in _COUNTED and held.state != also:
        raise AtItsEnd(held)
    return held


def in_hand(count: Count, *, by: User, at: datetime) -> Count:
    """The same, for whoever counts. Raises AtItsEnd, InOtherHands."""
    held = locked(count)
    if held.at_work_by_id != by.pk:
        raise InOtherHands(held)
    held.at_work_at = at
    held.save(update_fields=["at_work_at"])
    return held


def said_to_lie(count: Count) -> dict[tuple[int, int], int]:
    """What the ledger says lies where this count looks, by lot and place.

    Read without a lock: what others book meanwhile changes racks and ledger alike.
    """
    rows = Balance.objects.filter(place__site=count.site_id, on_hand__gt=0)
    rows = rows.filter(place=count.place) if count.place_id else rows.filter(lot__sku=count.sku_id)
    found = rows.order_by("lot_id", "place_id").values_list("lot_id", "place_id", "on_hand")
    return {(lot, place): on_hand for lot, place, on_hand in found}
