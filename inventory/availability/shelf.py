"""The lots of some SKUs where they lie, read in one query."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from django.utils import timezone

from inventory.availability.values import PROMISED_FROM, ShelfLot
from inventory.ground.together import Asked

# What holds that have run out by then still hold in the ledger: free from that moment. Looked up
# for balances that are held, and for no others: however many holds there ever were, few are.
LAPSED = """
LEFT JOIN LATERAL (
    SELECT sum(n.quantity) AS held
    FROM inventory_holdline n JOIN inventory_hold h ON h.id = n.hold_id
    WHERE b.held > 0 AND n.lot_id = b.lot_id AND n.place_id = b.place_id
        AND h.state = 'open' AND h.order_line_id IS NULL AND h.until <= %(at)s::timestamptz
) x ON true
"""
# Hand-written, its columns in the order of ShelfLot's fields: this is asked for every answer at the
# counter, and building a queryset takes longer than the database does.
_ROWS = """
SELECT l.id, b.place_id, p.site_id, l.sku_id, l.code, l.date_code, l.week_index,
    l.first_day, l.last_day, l.mark, l.mark_issue, l.pattern_issue, l.delivery, l.received_on,
    l.owner, l.condition,
    {blocked}, s.code, p.code, p.kind, dense_rank() OVER (ORDER BY s.code, p.walk, p.code),
    b.on_hand, (b.held - coalesce(x.held, 0))::integer, %(on)s::date
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id
JOIN inventory_place p ON p.id = b.place_id
JOIN inventory_site s ON s.id = p.site_id
{lapsed}
WHERE l.sku_id = ANY({skus}) AND b.on_hand > 0 {narrowed}
ORDER BY s.code, p.walk, p.code, l.week_index, l.id
"""
_BLOCKED = """ARRAY(SELECT k.reason FROM inventory_block k
    WHERE k.lot_id = l.id AND k.lifted_at IS NULL ORDER BY k.reason)"""
TO_PROMISE = """
    AND b.on_hand > b.held - coalesce(x.held, 0) AND p.kind = ANY(%(kinds)s::text[])
    AND l.owner = 'house' AND l.condition = 'new'
    AND NOT EXISTS (SELECT FROM inventory_block k WHERE k.lot_id = l.id AND k.lifted_at IS NULL)
"""
_THESE = "%(skus)s::bigint[]"
# Known here and not handed in, so that nobody waits for the companions' rows first.
_WITH_COMPANIONS = """%(skus)s::bigint[] || ARRAY(
    SELECT c.companion_id FROM inventory_companion c WHERE c.tyre_id = ANY(%(skus)s::bigint[])
    UNION ALL SELECT c.companion_id FROM inventory_sku t
    JOIN inventory_companion c ON c.size_key = ANY(t.size_keys)
    WHERE t.id = ANY(%(skus)s::bigint[])
)"""
_EVERYTHING = _ROWS.format(skus=_THESE, lapsed=LAPSED, blocked=_BLOCKED, narrowed="")
_PROMISED, _PROMISED_WITH_COMPANIONS = (
    _ROWS.format(skus=skus, lapsed=LAPSED, blocked="ARRAY[]::text[]", narrowed=TO_PROMISE)
    for skus in (_THESE, _WITH_COMPANIONS)
)

Row = Sequence[Any]
"""The columns of a ShelfLot, in the order of its fields."""
LOT, PLACE, SITE, SKU, ON_HAND, HELD = (
    ShelfLot.__match_args__.index(name)
    for name in ("lot_id", "place_id", "site_id", "sku_id", "on_hand", "held")
)


def everything_of(skus: Collection[int], *, at: datetime) -> list[ShelfLot]:
    """Every tyre of these SKUs as it lies at a moment, in walking order."""
    return list(map(shelf_lot, _asked(_EVERYTHING, skus, at).answer()))


def promised_of(skus: Collection[int], *, at: datetime) -> list[ShelfLot]:
    """What may be promised of them unasked: free, the house's own, new and not blocked."""
    return list(map(shelf_lot, promised_rows(skus, at=at)))


def promised_rows(skus: Collection[int], *, at: datetime) -> list[Row]:
    """The same as rows, for who looks closely at few of many."""
    return _asked(_PROMISED, skus, at).answer()


def with_companions_asked(skus: Collection[int], *, at: datetime) -> Asked[list[Row]]:
    """The same of these SKUs and of all that any rule names for them, to be sent with others."""
    return _asked(_PROMISED_WITH_COMPANIONS, skus, at)


def _asked(query: str, skus: Collection[int], at: datetime) -> Asked[list[Row]]:
    on = timezone.localtime(at).date()
    given: dict[str, Any] = {"skus": list(skus), "kinds": list(PROMISED_FROM), "on": on, "at": at}
    return Asked(query, given, list)


def shelf_lot(row: Row) -> ShelfLot:
    """The row as a value."""
    columns = (*row[:16], tuple(row[16]), *row[17:])
    return ShelfLot(*columns)
