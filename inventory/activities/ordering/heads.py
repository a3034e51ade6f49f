"""The head of an order: what may be said of it, and changed while it is open."""

from __future__ import annotations

from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.ordering.asks import Deposit
from inventory.activities.picking.inhand import locked_order
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.sale import Order

DEPOSIT = ("deposit", "deposit_currency", "deposit_reference")
HEAD = ("reference", "wanted_on", "deliver_to", "note", *DEPOSIT)


class HeadValues(TypedDict, total=False):
    """What can be said of an order."""

    reference: str
    wanted_on: date | None
    deliver_to: str
    note: str
    deposit: Deposit | None


def change_order(*, order: Order, by: User, at: datetime, **values: Unpack[HeadValues]) -> Order:
    """Change what is given of an open order's head. Raises OrderIsClosed, Faulty."""
    with transaction.atomic():
        held = locked_order(order)
        for name in ("reference", "wanted_on", "deliver_to", "note"):
            if name in values:
                setattr(held, name, values[name])
        if "deposit" in values:
            set_deposit(held, values["deposit"])
        refuse_faulty(held, HEAD)
        with named_violation():
            held.save(update_fields=HEAD)
    return held


def set_deposit(order: Order, deposit: Deposit | None) -> None:
    """Note a deposit on an order, or that there is none."""
    order.deposit = deposit.amount if deposit else None
    order.deposit_currency = deposit.currency if deposit else ""
    order.deposit_reference = deposit.reference if deposit else ""
