"""The sheet of production batches: what is made when, and until when it can be ordered."""

from __future__ import annotations

from inventory.activities.purchasing.batches import BATCHES
from inventory.ground.sheets import readers
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.ground.sheets.shifting import day_by_weeks
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import ProductionBatch


class Batches(RegisterSheet):
    """One row a batch."""

    name = "production-batches"
    title = "Production batches"
    model = ProductionBatch
    into = BATCHES
    key = ("supplier", "code")
    columns = (
        to("supplier", "supplier", Reference(Supplier, "supplier"), required=True, example="OST"),
        of(ProductionBatch, "code", heading="batch", read=readers.code, example="SPRING-27"),
        of(ProductionBatch, "order_by", example="2026-12-15", shift=day_by_weeks),
        of(ProductionBatch, "ready_on", example="2027-03-01", shift=day_by_weeks),
        of(ProductionBatch, "minimum_tyres", heading="least of all together", example="40"),
        Column(
            "SKUs",
            "skus",
            readers.many(readers.code),
            absent=(),
            example="TARN-CW-1857015",
            wanted="SKUs that are there already; several parted by ;",
            refers=Reference(Sku, "SKU"),
        ),
        of(ProductionBatch, "note"),
    )
