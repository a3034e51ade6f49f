"""A complaint is taken to the maker, by way of whoever delivered the lot."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.complaining.inhand import locked
from inventory.activities.complaining.origin import supplier_of
from inventory.activities.complaining.refusals import SayToWhom, WithTheMakerAlready
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.complaint import ComplaintState, CustomerComplaint
from inventory.models.supplier import Supplier


def take_to_maker(
    *,
    complaint: CustomerComplaint,
    supplier: Supplier | None = None,
    maker_reference: str = "",
    by: User,
    at: datetime,
) -> CustomerComplaint:
    """Say that the maker has it; without a supplier it goes to the one who delivered the lot.

    Raises ClosedAlready, WithTheMakerAlready, SayToWhom, Faulty.
    """
    with transaction.atomic():
        held = locked(complaint)
        if held.state == ComplaintState.WITH_MAKER:
            raise WithTheMakerAlready(held)
        held.supplier = supplier or supplier_of(held.lot)
        if held.supplier is None:
            raise SayToWhom(held.lot)
        held.state, held.sent_on_at, held.sent_on_by = ComplaintState.WITH_MAKER, at, by
        held.maker_reference = maker_reference.strip()
        refuse_faulty(held, ["maker_reference"])
        names = ["supplier", "state", "sent_on_at", "sent_on_by", "maker_reference"]
        held.save(update_fields=names)
    return held
