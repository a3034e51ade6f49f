"""The sheet of SKUs: tyres, and what goes with them."""

from __future__ import annotations

from inventory.activities.cataloguing.skus import SKUS
from inventory.ground.sheets.registered import RegisterSheet
from inventory.imports.sku_columns import COLUMNS
from inventory.models.sku import Sku


class Skus(RegisterSheet):
    """One row a SKU, known by its code."""

    name = "skus"
    title = "SKUs"
    model = Sku
    into = SKUS
    key = ("code",)
    columns = COLUMNS
