"""Recording what was asked for and not had."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.ledger.moves import whole
from inventory.markings import UnreadableMarking, read_size
from inventory.models.customer import Customer
from inventory.models.enquiry import Enquiry
from inventory.models.sku import Sku

_TOLD = ("size", "pieces", "car", "note")


def record(
    *,
    by: User,
    at: datetime,
    sku: Sku | None = None,
    size: str = "",
    pieces: int = 4,
    car: str = "",
    customer: Customer | None = None,
    note: str = "",
) -> Enquiry:
    """Keep a question that went away unmet: for a SKU, or for a size that nothing here has.

    A size is kept in its one way of writing where it can be read, else as it was asked for. Raises
    Faulty with every reason, NotWhole, TooMany.
    """
    enquiry = Enquiry(
        asked_at=at,
        asked_by=by,
        sku=sku,
        size=_one_way(size),
        pieces=whole(pieces),
        car=car,
        customer=customer,
        note=note,
    )
    refuse_faulty(enquiry, _TOLD)
    with named_violation():
        enquiry.save()
    return enquiry


def _one_way(size: str) -> str:
    try:
        return read_size(size).canonical if size.strip() else ""
    except UnreadableMarking:
        return size.strip()
