"""A purchase order begun, and what stands over its lines."""

from __future__ import annotations

from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.purchasing.locking import changed, locked
from inventory.activities.purchasing.refusals import NotADraft, OtherSupplier
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.place import Site
from inventory.models.purchase import PurchaseOrder, PurchaseState
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch

_WORDS = ("their_reference", "currency", "note")


class OrderValues(TypedDict, total=False):
    """What stands over the lines of an order."""

    batch: ProductionBatch | None
    deliver_to: Site
    their_reference: str
    currency: str
    note: str


def draft(
    *, supplier: Supplier, by: User, at: datetime, **values: Unpack[OrderValues]
) -> PurchaseOrder:
    """Begin an order to a supplier. Raises Faulty, OtherSupplier."""
    order = PurchaseOrder(supplier=supplier, made_by=by, made_at=at, **values)
    _of_the_supplier(order)
    refuse_faulty(order, ("supplier", "deliver_to", *_WORDS))
    order.save(force_insert=True)
    return order


def change_order(
    *,
    order: PurchaseOrder,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[OrderValues],
) -> PurchaseOrder:
    """Change what is given of an order's head; of one that is sent, only notes and references.

    Raises Faulty, OtherSupplier, NotADraft, OrderHasEnded, ChangedSince.
    """
    with transaction.atomic():
        held = locked(order, seen=seen)
        if held.state != PurchaseState.DRAFT and set(values) - {"their_reference", "note"}:
            raise NotADraft(held)
        for name, value in values.items():
            setattr(held, name, value)
        _of_the_supplier(held)
        refuse_faulty(held, ("deliver_to", *_WORDS))
        held.save(update_fields=list(values))
        changed(held, by=by, at=at)
    return held


def _of_the_supplier(order: PurchaseOrder) -> None:
    if order.batch is not None and order.batch.supplier_id != order.supplier_id:
        raise OtherSupplier(order.batch, order.supplier)
