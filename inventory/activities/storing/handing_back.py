"""Customers' tyres that go home: from wherever they lie by now, and whatever was made of them."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.storing.refusals import HandedBackAlready, MovedMeanwhile
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move
from inventory.ledger.post import post
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.posting import PostingKind
from inventory.models.storage import Storage


def hand_back(*, storage: Storage, handed_to: str, by: User, at: datetime) -> Storage:
    """Book out what is left of it, wherever it lies now, blocked or not.

    Raises HandedBackAlready, Faulty (nobody named), NotThatMany or MovedMeanwhile (somebody is
    booking its tyres at this moment).
    """
    with transaction.atomic(), named_violation():
        row = locked_row(Storage.objects.select_related("customer", "ended_by"), storage.pk)
        if row.ended_at is not None:
            raise HandedBackAlready(row)
        row.ended_at, row.ended_by, row.handed_to = at, by, handed_to.strip()
        refuse_faulty(row, ["handed_to"])
        row.save(update_fields=["ended_at", "ended_by", "handed_to"])
        lies = lying(row)
        if lies:
            moves = [Move(one.lot_id, one.place_id, -one.on_hand) for one in lies]
            post(kind=PostingKind.HAND_BACK, lines=moves, by=by, at=at, document=row.number)
        # Read anew: what came to a place between the reading and the booking would stay behind.
        if lying(row):
            raise MovedMeanwhile(row)
    return row


def lying(storage: Storage) -> list[Balance]:
    """Where its tyres lie now; what they were worked into is theirs as long as the customer is."""
    new = family = set(storage.lots.values_list("lot_id", flat=True))
    while new:
        made = Lot.objects.filter(made_from__in=new, owner_customer=storage.customer_id)
        new = set(made.values_list("pk", flat=True))
        family = family | new
    rows = Balance.objects.filter(lot__in=family, on_hand__gt=0)
    return list(rows.select_related("lot__sku", "place__site").order_by("lot_id", "place_id"))
