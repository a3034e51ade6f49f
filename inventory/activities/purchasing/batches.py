"""Production batches: what a maker runs, until when one can order into it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import date, datetime
from typing import Any, TypedDict, Unpack

from django.contrib.auth.models import User
from django.db.models import Manager

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.parts import Part
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
    compared = (
        Part("skus", lambda e: {sku.pk for sku in e.given["skus"]}, lambda pks: _held_skus(pks)),
    )

    def write_parts(
        self, entries: Sequence[Entry[ProductionBatch]], *, by: User, at: datetime
    ) -> None:
        """Limit each batch to exactly the SKUs that were given with it, where that was told."""
        changed = [e for e in entries if "skus" in e.given and (e.is_new or e.parts_changed)]
        _links().filter(productionbatch_id__in=[entry.row.pk for entry in changed]).delete()
        _links().bulk_create(
            ProductionBatch.skus.through(productionbatch_id=entry.row.pk, sku_id=sku_id)
            for entry in changed
            for sku_id in sorted({sku.pk for sku in entry.given["skus"]})
        )

    def judge_on(self, entries: Sequence[Entry[ProductionBatch]], *, on: date) -> None:
        """A batch that is entered can still be ordered; one that is there may have been missed."""
        for entry in entries:
            if entry.is_new and not entry.faults and entry.row.order_by < on:
                words = (
                    f"{entry.row.code} could be ordered until {entry.row.order_by.isoformat()}, "
                    f"and today is {on.isoformat()}: a batch is entered before its cut-off."
                )
                entry.faults.append(Fault("order_by", words))


def _links() -> Manager[Any]:
    return ProductionBatch.skus.through._default_manager


def _held_skus(batches: Collection[int]) -> dict[int, set[int]]:
    held: dict[int, set[int]] = defaultdict(set)
    rows = _links().filter(productionbatch_id__in=batches)
    for batch_id, sku_id in rows.values_list("productionbatch_id", "sku_id"):
        held[batch_id].add(sku_id)
    return held


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
