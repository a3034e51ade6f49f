"""Tyres by size, in the order in which the counter shows them."""

from __future__ import annotations

from inventory.markings import Size, search_keys
from inventory.models.sku import Sku, SkuStatus
from stockist.counter.shelf import MOST_AT_ONCE


def skus_of_size(size: Size) -> tuple[Sku, ...]:
    """The tyres of a size however it is written; of the asked construction where one was said."""
    rows = Sku.objects.tyres().of_size(search_keys(size)).with_names()
    rows = rows.exclude(status=SkuStatus.DISCONTINUED, lots__isnull=True)
    return tuple(rows.order_by("code").distinct()[:MOST_AT_ONCE])
