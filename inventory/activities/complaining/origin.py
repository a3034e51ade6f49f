"""From whom a lot came."""

from __future__ import annotations

from django.db.models import Q

from inventory.models.delivery import DeliveryLine
from inventory.models.lot import Lot
from inventory.models.supplier import Supplier


def supplier_of(lot: Lot) -> Supplier | None:
    """Whose delivery a lot came by, or the one it was made from; None where nobody knows."""
    source: Lot | None = lot
    while source is not None:
        told = DeliveryLine.objects.filter(Q(lot=source) | Q(over_lot=source))
        line = told.select_related("delivery__supplier").order_by("pk").first()
        if line is not None:
            return line.delivery.supplier
        if source.owner_supplier is not None:
            return source.owner_supplier
        source = source.made_from
    return None
