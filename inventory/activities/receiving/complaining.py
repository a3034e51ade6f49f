"""The complaints that follow from a delivery: for each lot put aside, for each SKU short."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.receiving.stocking import Batch
from inventory.models.delivery import Delivery, DeliveryLine, Disagreement
from inventory.models.purchase import PurchaseLine
from inventory.models.supplier_complaint import SupplierComplaint


def complaints_of(
    delivery: Delivery,
    booked: Sequence[Batch],
    lines: Sequence[DeliveryLine],
    order_lines: Mapping[int, PurchaseLine],
    left: Mapping[int, int],
    *,
    by: User,
    at: datetime,
) -> list[SupplierComplaint]:
    """Open every complaint of a delivery.

    ``order_lines`` are those of its order by SKU, ``left`` how many of each are still to come.
    """
    found = [*_of_lots(booked), *_short(delivery, lines, order_lines, left)]
    for complaint in found:
        complaint.supplier, complaint.delivery = delivery.supplier, delivery
        complaint.opened_by, complaint.opened_at = by, at
    return SupplierComplaint.objects.bulk_create(found)


def _of_lots(booked: Sequence[Batch]) -> Iterator[SupplierComplaint]:
    for batch in booked:
        if batch.wrong:
            yield SupplierComplaint(
                delivery_line=batch.first,
                order_line=batch.first.order_line,
                sku=batch.first.sku,
                lot=batch.lot,
                reason=batch.wrong,
                quantity=batch.quantity,
                disputes=batch.disputes,
                says=batch.says,
            )


def _short(
    delivery: Delivery,
    lines: Sequence[DeliveryLine],
    order_lines: Mapping[int, PurchaseLine],
    left: Mapping[int, int],
) -> Iterator[SupplierComplaint]:
    for said in delivery.note_lines.select_related("sku").order_by("sku__code"):
        came = sum(line.quantity for line in lines if line.sku_id == said.sku_id)
        missing = said.quantity - came
        if missing > 0:
            order_line = order_lines.get(said.sku_id)
            room = left[order_line.pk] if order_line else 0
            yield SupplierComplaint(
                order_line=order_line,
                sku=said.sku,
                reason=Disagreement.SHORT,
                quantity=missing,
                disputes=min(missing, room),
                says=f"The delivery note says {said.quantity}; {came} came.",
            )
