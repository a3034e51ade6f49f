"""Availability of one SKU, and the matched sets of one recipe."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils import timezone

from inventory.markings import oldest_allowed_week
from inventory.sets import HOUSE_TOLERANCE_WEEKS
from tests.load.asked.asking import Api, Question, Raw, read
from tests.load.table import Beside

PAGE = 100
_SHELF = """
SELECT b.id, l.id, l.code, s.id, s.code, p.id, p.code, p.kind, i.code, b.on_hand, b.held,
    b.on_hand - b.held
FROM inventory_lot l
JOIN inventory_balance b ON b.lot_id = l.id
JOIN inventory_sku s ON s.id = l.sku_id
JOIN inventory_place p ON p.id = b.place_id
JOIN inventory_site i ON i.id = p.site_id
WHERE l.sku_id = %s AND b.on_hand > 0 ORDER BY p.walk, b.id LIMIT 101
"""
LAPSED = """
LEFT JOIN LATERAL (
    SELECT sum(n.quantity) AS held
    FROM inventory_holdline n JOIN inventory_hold h ON h.id = n.hold_id
    WHERE b.held > 0 AND (n.lot_id, n.place_id) = (b.lot_id, b.place_id)
        AND h.state = 'open' AND h.order_line_id IS NULL AND h.until <= %(at)s
) x ON true
"""
# A pair within so many weeks: cut the weeks where a gap is wider, and of each piece take the half.
_PAIRS = f"""
WITH free AS (
    SELECT l.sku_id, l.mark, l.mark_issue, l.pattern_issue, l.week_index AS week, l.delivery,
        b.on_hand - b.held + coalesce(x.held, 0) AS tyres
    FROM inventory_lot l
    JOIN inventory_balance b ON b.lot_id = l.id
    JOIN inventory_place p ON p.id = b.place_id AND p.kind IN ('storage', 'goods_in')
    {LAPSED}
    WHERE l.sku_id = ANY(array_append(ARRAY(
        SELECT c.companion_id FROM inventory_companion c JOIN inventory_sku s ON s.id = %(sku)s
        WHERE c.size_key = ANY(s.size_keys) AND c.rim_kind = ''), %(sku)s))
        AND l.owner = 'house' AND l.condition = 'new'
        AND b.on_hand > b.held - coalesce(x.held, 0)
        AND NOT EXISTS (
            SELECT FROM inventory_block k WHERE k.lot_id = l.id AND k.lifted_at IS NULL)
), tyres AS (
    SELECT f.* FROM free f JOIN inventory_sku s ON s.id = f.sku_id
    WHERE f.sku_id = %(sku)s AND (f.week IS NULL OR f.week >= %(oldest)s)
        AND (s.mark_issue = '' OR (f.mark, f.mark_issue) = (s.mark, s.mark_issue))
), gaps AS (
    SELECT *, week - lag(week) OVER (
        PARTITION BY mark, mark_issue, pattern_issue, week IS NULL ORDER BY week) AS gap
    FROM tyres
), islands AS (
    SELECT *, count(*) FILTER (WHERE gap > %(apart)s) OVER (
        PARTITION BY mark, mark_issue, pattern_issue, week IS NULL ORDER BY week) AS island
    FROM gaps
), pairs AS (
    SELECT sum(tyres)::int / 2 AS pairs FROM islands
    GROUP BY mark, mark_issue, pattern_issue, week IS NULL, island,
        CASE WHEN week IS NULL THEN delivery END
), tubes AS (
    SELECT c.companion_id, coalesce(sum(f.tyres), 0)::int / 2 AS pairs
    FROM inventory_sku s
    JOIN inventory_companion c ON c.size_key = ANY(s.size_keys) AND c.rim_kind = ''
    LEFT JOIN free f ON f.sku_id = c.companion_id
    WHERE s.id = %(sku)s GROUP BY 1
)
SELECT least(coalesce((SELECT sum(pairs) FROM pairs), 0), (SELECT max(pairs) FROM tubes))::int
"""


def availability(api: Api, raw: Raw, skus: Sequence[tuple[int, str]]) -> Question:
    """What lies of one SKU, lot by lot in walking order, a page of a hundred."""
    return Question(
        "availability of one SKU",
        Beside(3, 5),
        skus,
        ours=lambda sku: api("stock/", sku=sku[0], empty="false", page_size=PAGE),
        raw=lambda sku: raw(_SHELF, [sku[0]]),
        told=lambda _, ours, rows: (_rows(ours), [_plain(row) for row in rows[:PAGE]]),
        note="API",
        server=raw.server,
    )


def _rows(answer: bytes) -> list[tuple[Any, ...]]:
    names = ("id", "lot", "lot_code", "sku", "sku_code", "place", "place_code", "place_kind")
    rest = ("site_code", "on_hand", "held", "free")
    return [tuple(str(row[name]) for name in (*names, *rest)) for row in read(answer)["results"]]


def _plain(row: Sequence[Any]) -> tuple[str, ...]:
    return tuple(str(value) for value in row)


def matched_sets(api: Api, raw: Raw, skus: Sequence[tuple[int, str]], at: datetime) -> Question:
    """How many pairs of one SKU can be promised, under the house's age limit, tubes counted."""
    oldest = oldest_allowed_week(
        limit_months=settings.HOUSE_AGE_LIMIT_MONTHS, on=timezone.localdate(at)
    )
    given = {"oldest": oldest, "apart": HOUSE_TOLERANCE_WEEKS, "at": at}
    return Question(
        "matched sets of one recipe",
        Beside(3, 5),
        skus,
        ours=lambda sku: api("answers/have-you-got-it/", q=sku[1], wanted="front"),
        raw=lambda sku: raw(_PAIRS, {"sku": sku[0], **given}),
        told=lambda _, ours, rows: (read(ours)["results"][0]["sets"]["sets"], rows[0][0]),
        note="API",
        server=raw.server,
    )
