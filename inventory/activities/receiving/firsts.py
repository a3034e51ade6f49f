"""The first delivery of a SKU that was announced: from now on it is a current one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.cataloguing import change_sku
from inventory.activities.receiving.stocking import Batch
from inventory.models.sku import SkuStatus


def no_longer_announced(booked: Sequence[Batch], *, by: User, at: datetime) -> None:
    """Make the announced SKUs of which something was kept current ones."""
    skus = {batch.first.sku_id: batch.first.sku for batch in booked if not batch.wrong}
    for _, sku in sorted(skus.items()):
        if sku.status == SkuStatus.ANNOUNCED:
            change_sku(sku=sku, by=by, at=at, status=SkuStatus.CURRENT.value, expected_on=None)
