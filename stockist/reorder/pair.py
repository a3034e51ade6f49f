"""The sets that an SKU makes with its mate at this moment, as the counter counts them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.db.models import Q

from inventory.availability import promise_of_pair, stock_of
from inventory.models.sku import Sku
from inventory.models.sku_pair import SkuPair


@dataclass(frozen=True, slots=True)
class WithMate:
    """``free`` of the mate. ``sets`` None: not counted in sets of two and two, since a tyre is
    built for one side. ``reason`` says why not more, where pieces suggest more."""

    mate: Sku
    free: int
    sets: int | None
    reason: str


def with_mate(sku: Sku, at: datetime) -> WithMate | None:
    """What can be promised of it with its mate now; None where it has no mate."""
    pairs = SkuPair.objects.select_related("front", "rear")
    pair = pairs.filter(Q(front=sku) | Q(rear=sku)).first()
    if pair is None:
        return None
    mate = pair.rear if pair.front_id == sku.pk else pair.front
    key = (pair.front_id, pair.rear_id)
    answer = promise_of_pair(key, limit_months=settings.HOUSE_AGE_LIMIT_MONTHS, at=at)
    if answer is None:
        return WithMate(mate, stock_of([mate.pk], at=at)[mate.pk].to_sell, None, "")
    place = "rear" if mate.pk == pair.rear_id else "front"
    return WithMate(mate, dict(answer.pieces)[place], answer.sets, answer.reason)
