"""Promises: what is held, for whom, and that nobody is promised what others have."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_HELD = """
SELECT o.code, p.code, coalesce(b.held, 0), coalesce(h.held, 0)
FROM inventory_balance b FULL JOIN (
    SELECT l.lot_id, l.place_id, sum(l.quantity) AS held
    FROM inventory_holdline l JOIN inventory_hold h ON h.id = l.hold_id AND h.state = 'open'
    GROUP BY l.lot_id, l.place_id
) h USING (lot_id, place_id)
JOIN inventory_lot o ON o.id = lot_id JOIN inventory_place p ON p.id = place_id
WHERE coalesce(b.held, 0) <> coalesce(h.held, 0) ORDER BY o.code, p.code
"""
_BEYOND = """
SELECT 'OR-' || lpad(n.order_id::text, 5, '0'), n.position, n.quantity, n.sent, h.held
FROM inventory_orderline n
CROSS JOIN LATERAL (
    SELECT coalesce(sum(CASE WHEN n.asks = 'sets' THEN 1 ELSE t.tyres END), 0) AS held
    FROM inventory_hold o
    CROSS JOIN LATERAL (SELECT sum(quantity) AS tyres FROM inventory_holdline
                        WHERE hold_id = o.id) t
    WHERE o.order_line_id = n.id AND o.state = 'open'
) h
WHERE n.sent + h.held > CASE WHEN n.cancelled THEN n.sent ELSE n.quantity END
ORDER BY n.order_id, n.position
"""
_OVER = """
SELECT 'HO-' || lpad(h.id::text, 5, '0'), 'OR-' || lpad(o.id::text, 5, '0'), o.state
FROM inventory_hold h JOIN inventory_orderline n ON n.id = h.order_line_id
JOIN inventory_order o ON o.id = n.order_id
WHERE h.state = 'open' AND o.state <> 'open' ORDER BY h.id
"""
_EMPTY = """
SELECT 'HO-' || lpad(h.id::text, 5, '0') FROM inventory_hold h
WHERE h.state = 'open' AND NOT EXISTS (SELECT FROM inventory_holdline l WHERE l.hold_id = h.id)
ORDER BY h.id
"""
_EXTENDED = """
SELECT 'HO-' || lpad(hold_id::text, 5, '0') FROM (
    SELECT e.hold_id, e.until_after, lead(e.until_before, 1, h.until)
        OVER (PARTITION BY e.hold_id ORDER BY e.until_before) AS next
    FROM inventory_holdextension e JOIN inventory_hold h ON h.id = e.hold_id
) e WHERE until_after IS DISTINCT FROM next GROUP BY hold_id ORDER BY hold_id
"""
CHECKS = (
    Check(
        "held",
        "What every balance holds is what the lines of open holds say.",
        by_sql(_HELD, "Lot {0} in {1}: {2} are held, open holds say {3}."),
        count_of("inventory_holdline", "hold lines"),
    ),
    Check(
        "beyond",
        "For no order line more is held and sent than it asks for.",
        by_sql(_BEYOND, "{0}, line {1}: of {2} ordered {3} have left and {4} are held."),
        count_of("inventory_orderline", "order lines of customers"),
    ),
    Check(
        "closed",
        "Nothing is held for an order that has ended.",
        by_sql(_OVER, "{0} is for {1}, which is {2}."),
        count_of("inventory_order", "orders of customers"),
    ),
    Check(
        "empty",
        "Every open hold holds something.",
        by_sql(_EMPTY, "{0} holds nothing."),
        count_of("inventory_hold WHERE state = 'open'", "open holds"),
    ),
    Check(
        "extended",
        "Every hold runs until the end of its last extension, and each begins where one ended.",
        by_sql(_EXTENDED, "{0} runs until another time than its extensions say."),
        count_of("inventory_holdextension", "extensions of holds"),
    ),
)
