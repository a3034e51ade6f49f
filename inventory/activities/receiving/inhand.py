"""One delivery in hand: locked against others, and still being booked in."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.receiving.refusals import BookedAlready, InOtherHands
from inventory.ground.locking import locked_row
from inventory.models.delivery import Delivery, DeliveryState


def locked(delivery: Delivery) -> Delivery:
    """The delivery as it is now, and stays until the transaction ends. Raises BookedAlready."""
    rows = Delivery.objects.select_related(
        "supplier", "order", "place__site", "quarantine", "at_work_by", "ended_by"
    )
    held = locked_row(rows, delivery.pk)
    if held.state != DeliveryState.IN_PROGRESS:
        raise BookedAlready(held)
    return held


def in_hand(delivery: Delivery, *, by: User, at: datetime) -> Delivery:
    """The same, for whoever has it in hand. Raises BookedAlready, InOtherHands."""
    held = locked(delivery)
    if held.at_work_by_id != by.pk:
        raise InOtherHands(held)
    held.at_work_at = at
    held.save(update_fields=["at_work_at"])
    return held
