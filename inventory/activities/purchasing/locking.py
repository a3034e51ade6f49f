"""One purchase order in hand: locked against others, judged, and counted as changed."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.purchasing.refusals import ChangedSince, OrderHasEnded
from inventory.ground.locking import locked_row
from inventory.models.purchase import PurchaseOrder, PurchaseState

ALL_CAME = "all of it has come"


def locked(order: PurchaseOrder, *, seen: int | None = None) -> PurchaseOrder:
    """The order as it is now, and stays until the transaction ends.

    `seen` is the version that the person looked at. Raises ChangedSince, OrderHasEnded.
    """
    rows = PurchaseOrder.objects.select_related("supplier", "batch", "deliver_to", "ended_by")
    held = locked_row(rows, order.pk)
    if held.state in (PurchaseState.CLOSED, PurchaseState.CANCELLED):
        raise OrderHasEnded(held)
    if seen is not None and seen != held.version:
        raise ChangedSince(held)
    return held


def changed(order: PurchaseOrder, *, by: User, at: datetime, why: str = ALL_CAME) -> None:
    """Count a change of a locked order, and give it the state that follows from its lines."""
    order.version += 1
    names = ["version"]
    if order.state != PurchaseState.DRAFT:
        names += _state(order, by=by, at=at, why=why)
    order.save(update_fields=names)


def _state(order: PurchaseOrder, *, by: User, at: datetime, why: str) -> list[str]:
    lines = list(order.lines.order_by("pk"))
    if all(line.to_come == 0 and line.disputed == 0 for line in lines):
        order.state = PurchaseState.CLOSED
        order.ended_at, order.ended_by, order.ended_why = at, by, why
        return ["state", "ended_at", "ended_by", "ended_why"]
    some = any(line.received or line.disputed or line.over for line in lines)
    order.state = PurchaseState.PART_RECEIVED if some else PurchaseState.SENT
    return ["state"]
