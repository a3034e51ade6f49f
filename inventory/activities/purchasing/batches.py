"""Production batches: what a maker runs, until when one can order into it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.parts import Links
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


LIMITED_TO = Links("skus", ProductionBatch.skus.through, "productionbatch_id", "sku_id")


class BatchRegister(Register[ProductionBatch]):
    """Batches by supplier and code, with the SKUs that they are limited to."""

    parts = frozenset({LIMITED_TO.name})
    compared = (LIMITED_TO.part,)

    def write_parts(
        self, entries: Sequence[Entry[ProductionBatch]], *, by: User, at: datetime
    ) -> None:
        LIMITED_TO.write(entries)

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
