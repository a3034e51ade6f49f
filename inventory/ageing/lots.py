"""The house's own tyres by lot and site, with what is known of their age."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import connection

from inventory.models.lot import Condition, Owner
from inventory.models.posting import PostingKind

_LOTS = """
SELECT l.id, l.code, l.sku_id, k.code, s.code, sum(b.on_hand), sum(b.held), l.last_day,
    l.week_index, l.date_code, l.unit_cost, l.currency,
    l.condition = %(new)s AND NOT EXISTS (
        SELECT FROM inventory_block x WHERE x.lot_id = l.id AND x.lifted_at IS NULL) AS to_sell
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id
JOIN inventory_place p ON p.id = b.place_id
JOIN inventory_site s ON s.id = p.site_id
JOIN inventory_sku k ON k.id = l.sku_id
WHERE b.on_hand > 0 AND l.owner = %(house)s AND k.kind = 'tyre'
GROUP BY l.id, k.code, s.code
ORDER BY k.code, l.week_index NULLS LAST, l.id, s.code
"""
_WEEKS = """
SELECT s.code, l.week_index, sum(b.on_hand)
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id
JOIN inventory_place p ON p.id = b.place_id
JOIN inventory_site s ON s.id = p.site_id
JOIN inventory_sku k ON k.id = l.sku_id
WHERE b.on_hand > 0 AND l.owner = %(house)s AND k.kind = 'tyre'
GROUP BY 1, 2 ORDER BY 1, 2
"""
_SOLD = """
SELECT l.sku_id, s.code, sum(-g.on_hand_change)
FROM inventory_ledgerline g
JOIN inventory_posting p ON p.id = g.posting_id
JOIN inventory_lot l ON l.id = g.lot_id
JOIN inventory_place pl ON pl.id = g.place_id
JOIN inventory_site s ON s.id = pl.site_id
WHERE p.kind = %(kind)s AND p.at >= %(since)s GROUP BY 1, 2 HAVING sum(-g.on_hand_change) > 0
"""


@dataclass(frozen=True, slots=True)
class AgedLot:
    """So many tyres of a lot at one site. ``week`` and ``last_day`` None: the age is not known."""

    lot_id: int
    code: str
    sku_id: int
    sku: str
    site: str
    pieces: int
    held: int
    last_day: date | None
    week: int | None
    date_code: str
    unit_cost: Decimal | None
    currency: str
    to_sell: bool


def house_lots() -> list[AgedLot]:
    """Every tyre of the house's own, by SKU, the oldest first; undated ones last."""
    with connection.cursor() as cursor:
        cursor.execute(_LOTS, {"new": Condition.NEW.value, "house": Owner.HOUSE.value})
        return [AgedLot(*row) for row in cursor.fetchall()]


def tyres_by_week() -> list[tuple[str, int | None, int]]:
    """The house's own tyres by site and week, None where the week is not known: few rows, however
    many lots there are."""
    with connection.cursor() as cursor:
        cursor.execute(_WEEKS, {"house": Owner.HOUSE.value})
        return [(site, week, int(tyres)) for site, week, tyres in cursor.fetchall()]


def sold_by_site(at: datetime) -> dict[tuple[int, str], int]:
    """Pieces that left each site in the year before a moment, by SKU and site."""
    since = at - timedelta(days=365)
    with connection.cursor() as cursor:
        cursor.execute(_SOLD, {"kind": PostingKind.DESPATCH.value, "since": since})
        return {(sku, site): int(sold) for sku, site, sold in cursor.fetchall()}
