"""What left and what came back: no more than was ordered and sent, and as the ledger has it."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

# A hold is one set; of a line that asks for pieces its own SKU counts, companions do not.
_SENT = """
SELECT 'OR-' || lpad(n.order_id::text, 5, '0'), n.position, n.sent, n.quantity, d.left
FROM inventory_orderline n
CROSS JOIN LATERAL (
    SELECT coalesce(CASE WHEN n.asks = 'sets' THEN count(DISTINCT l.hold_id)
        ELSE sum(l.quantity) FILTER (WHERE o.sku_id = n.sku_id) END, 0) AS left
    FROM inventory_despatchline l JOIN inventory_lot o ON o.id = l.lot_id
    WHERE l.order_line_id = n.id
) d
WHERE n.sent <> d.left OR d.left > n.quantity ORDER BY n.order_id, n.position
"""
_PAIRS = """
WITH said AS (
    SELECT {document}.posting_id, l.{lot} AS lot_id, l.place_id, sum(l.quantity) AS tyres
    FROM {lines} l JOIN {table} {document} ON {document}.id = l.{key}
    GROUP BY 1, 2, 3
), booked AS (
    SELECT posting_id, lot_id, place_id, {sign}on_hand_change AS tyres
    FROM inventory_ledgerline WHERE posting_id IN (SELECT posting_id FROM {table})
)
SELECT '{name}-' || lpad({document}.id::text, 5, '0'), o.code, p.code,
    coalesce(said.tyres, 0), coalesce(booked.tyres, 0)
FROM said FULL JOIN booked USING (posting_id, lot_id, place_id)
JOIN {table} {document} USING (posting_id)
JOIN inventory_lot o ON o.id = lot_id JOIN inventory_place p ON p.id = place_id
WHERE coalesce(said.tyres, 0) <> coalesce(booked.tyres, 0)
ORDER BY {document}.id, o.code, p.code
"""
_LEFT = _PAIRS.format(
    document="d", table="inventory_despatch", lines="inventory_despatchline", key="despatch_id",
    lot="lot_id", sign="-", name="DS",
)  # fmt: skip
_CAME = _PAIRS.format(
    document="r", table="inventory_return", lines="inventory_returnline", key="came_back_id",
    lot="into_lot_id", sign="", name="R",
)  # fmt: skip
_RETURNED = """
SELECT 'DS-' || lpad(d.despatch_id::text, 5, '0'), o.code, d.quantity, sum(r.quantity)
FROM inventory_despatchline d JOIN inventory_returnline r ON r.despatch_line_id = d.id
JOIN inventory_lot o ON o.id = d.lot_id
GROUP BY d.id, o.code HAVING sum(r.quantity) > d.quantity ORDER BY d.id
"""
_FROZEN = """
SELECT 'DS-' || lpad(d.despatch_id::text, 5, '0'), o.code,
    coalesce(d.known->>'lot', 'nothing'), coalesce(d.known->>'date_code', 'nothing'), o.date_code
FROM inventory_despatchline d JOIN inventory_lot o ON o.id = d.lot_id
WHERE (d.known->>'lot', d.known->>'date_code') IS DISTINCT FROM (o.code, o.date_code)
ORDER BY d.id
"""
_NEW_AGAIN = """
SELECT 'R-' || lpad(r.came_back_id::text, 5, '0'), o.code, i.code
FROM inventory_returnline r JOIN inventory_despatchline d ON d.id = r.despatch_line_id
JOIN inventory_lot o ON o.id = d.lot_id JOIN inventory_lot i ON i.id = r.into_lot_id
WHERE i.condition = 'new' AND o.condition <> 'new' OR i.condition <> r.condition
    OR i.date_code <> o.date_code
ORDER BY r.id
"""
CHECKS = (
    Check(
        "sent",
        "What an order line says has left is what left for it, and no more than it asks for.",
        by_sql(_SENT, "{0}, line {1}: {2} of {3} are said to have left, {4} did."),
        count_of("inventory_orderline", "order lines of customers"),
    ),
    Check(
        "despatches",
        "Every tyre of a despatch is in its posting, and no other.",
        by_sql(_LEFT, "{0}, lot {1} from {2}: {3} left, {4} were booked out."),
        count_of("inventory_despatch", "despatches"),
    ),
    Check(
        "known",
        "What was written down of what left is what its lot says.",
        by_sql(_FROZEN, "{0}, lot {1}: written down were {2} and date code {3}, it is {4}."),
        count_of("inventory_despatchline", "lines of despatches"),
    ),
    Check(
        "returns",
        "Every tyre of a return is in its posting, and no other.",
        by_sql(_CAME, "{0}, lot {1} to {2}: {3} came back, {4} were booked in."),
        count_of("inventory_return", "returns"),
    ),
    Check(
        "returned",
        "No more came back than left.",
        by_sql(_RETURNED, "{0}, lot {1}: {2} left, {3} came back."),
        count_of("inventory_returnline", "lines of returns"),
    ),
    Check(
        "new again",
        "What came back keeps its date code, and is new only if it left new.",
        by_sql(_NEW_AGAIN, "{0}: from lot {1} into lot {2}, which says other things of it."),
        count_of("inventory_returnline", "lines of returns"),
    ),
)
