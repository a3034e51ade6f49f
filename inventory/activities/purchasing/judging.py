"""Whether a purchase order is on its supplier's terms, and what of it is not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from inventory.models.purchase import OPEN, PurchaseLine, PurchaseOrder, PurchaseState
from inventory.models.supplier_terms import ProductionBatch, SupplierTerms

ORDERED = (*OPEN, PurchaseState.CLOSED.value)


def terms_of(order: PurchaseOrder, lines: Sequence[PurchaseLine]) -> dict[int, SupplierTerms]:
    """The supplier's terms for what is on an order, by SKU."""
    skus = [line.sku_id for line in lines]
    rows = SupplierTerms.objects.filter(supplier=order.supplier_id, sku__in=skus).order_by("pk")
    return {row.sku_id: row for row in rows}


def not_on_terms(order: PurchaseOrder, *, on: date) -> list[str]:
    """Sentences about what an order that is sent on this day asks beyond the supplier's terms."""
    lines = list(order.lines.select_related("sku").order_by("sku__code"))
    terms = terms_of(order, lines)
    found = [words for line in lines for words in _of_line(line, terms.get(line.sku_id), order)]
    if order.batch is not None:
        found += _of_batch(order, order.batch, lines, on)
    return found


def _of_line(
    line: PurchaseLine, terms: SupplierTerms | None, order: PurchaseOrder
) -> Iterator[str]:
    if terms is None:
        return
    if line.quantity < terms.minimum:
        yield f"{line.sku}: {line.quantity} is below the least, {terms.minimum}."
    if line.quantity % terms.pack:
        up = line.quantity + terms.pack - line.quantity % terms.pack
        yield f"{line.sku}: {line.quantity} is not whole packs of {terms.pack}; {up} would be."
    if terms.currency != order.currency:
        yield f"{line.sku} is sold in {terms.currency}, and the order is in {order.currency}."


def _of_batch(
    order: PurchaseOrder, batch: ProductionBatch, lines: Sequence[PurchaseLine], on: date
) -> Iterator[str]:
    if on > batch.order_by:
        yield f"Batch {batch} could be ordered until {batch.order_by.isoformat()}."
    sent = PurchaseLine.objects.filter(order__batch=batch, order__state__in=ORDERED)
    ordered = sum(sent.exclude(order=order).order_by("pk").values_list("quantity", flat=True))
    total = ordered + sum(line.quantity for line in lines)
    if total < batch.minimum_tyres:
        yield f"Batch {batch} is made from {batch.minimum_tyres} pieces on; this makes {total}."
    made = set(batch.skus.order_by("pk").values_list("pk", flat=True))
    for line in lines:
        if made and line.sku_id not in made:
            yield f"{line.sku} is not made in batch {batch}."
