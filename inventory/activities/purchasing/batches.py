"""Production batches: what a maker runs, until when one can order into it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry, Register
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch


class BatchValues(TypedDict, total=False):
    """What can be said of a production batch."""

    supplier: Supplier
    code: str
    order_by: date
    ready_on: date
    minimum_tyres: int
    skus: Sequence[Sku]
    note: str


class BatchRegister(Register[ProductionBatch]):
    """Batches by supplier and code, with the SKUs that they are limited to."""

    parts = frozenset({"skus"})

    def write_parts(
        self, entries: Sequence[Entry[ProductionBatch]], *, by: User, at: datetime
    ) -> None:
        """Limit each batch to exactly the SKUs that were given with it, where that was told."""
        told = {e.row.pk: e for e in entries if "skus" in e.given}
        through = ProductionBatch.skus.through._default_manager
        rows = through.filter(productionbatch_id__in=told)
        held: dict[int, set[int]] = defaultdict(set)
        for batch_id, sku_id in rows.values_list("productionbatch_id", "sku_id"):
            held[batch_id].add(sku_id)
        wanted = {pk: {sku.pk for sku in e.given["skus"]} for pk, e in told.items()}
        changed = [pk for pk in told if wanted[pk] != held[pk]]
        rows.filter(productionbatch_id__in=changed).delete()
        through.bulk_create(
            ProductionBatch.skus.through(productionbatch_id=pk, sku_id=sku_id)
            for pk in changed
            for sku_id in sorted(wanted[pk])
        )
        for pk in changed:
            told[pk].parts_changed = True

    def judge_on(self, entries: Sequence[Entry[ProductionBatch]], *, on: date) -> None:
        """A batch that is entered can still be ordered; one that is there may have been missed."""
        for entry in entries:
            if entry.is_new and not entry.faults and entry.row.order_by < on:
                words = (
                    f"{entry.row.code} could be ordered until {entry.row.order_by.isoformat()}, "
                    f"and today is {on.isoformat()}: a batch is entered before its cut-off."
                )
                entry.faults.append(Fault("order_by", words))


BATCHES = BatchRegister(ProductionBatch, key=("code", "supplier"))


def make_batch(*, by: User, at: datetime, **values: Unpack[BatchValues]) -> ProductionBatch:
    """Enter a production batch whose cut-off has not passed. Raises Faulty."""
    return BATCHES.make(values, by=by, at=at)


def change_batch(
    *,
    batch: ProductionBatch,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[BatchValues],
) -> ProductionBatch:
    """Change what is given of a batch. Raises Faulty; StaleVersion where it was changed since."""
    return BATCHES.change(batch, values, seen=seen, by=by, at=at)
