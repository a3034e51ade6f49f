"""A complaint in hand: locked, and not closed."""

from __future__ import annotations

from inventory.activities.complaining.refusals import ClosedAlready
from inventory.ground.locking import locked_row
from inventory.models.complaint import ComplaintState, CustomerComplaint


def locked(complaint: CustomerComplaint) -> CustomerComplaint:
    """The complaint as it is now, and stays until the transaction ends. Raises ClosedAlready."""
    held = locked_row(CustomerComplaint.objects.with_names(), complaint.pk)
    if held.state == ComplaintState.CLOSED:
        raise ClosedAlready(held)
    return held
