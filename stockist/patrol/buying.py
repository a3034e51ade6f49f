"""Orders to suppliers: what is expected, what is in doubt, what came."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_EXPECTED = """
SELECT 'PO-' || lpad(l.order_id::text, 5, '0'), s.code,
    CASE WHEN o.state IN ('sent', 'part_received')
        THEN l.quantity - l.received - l.disputed - l.waived ELSE 0 END,
    CASE WHEN e.state = 'expected' THEN e.quantity ELSE 0 END
FROM inventory_purchaseline l
JOIN inventory_purchaseorder o ON o.id = l.order_id
JOIN inventory_sku s ON s.id = l.sku_id
LEFT JOIN inventory_expecteddelivery e ON e.id = l.expected_id
WHERE CASE WHEN o.state IN ('sent', 'part_received')
        THEN l.quantity - l.received - l.disputed - l.waived ELSE 0 END
    <> CASE WHEN e.state = 'expected' THEN e.quantity ELSE 0 END
ORDER BY l.id
"""
_IN_DOUBT = """
SELECT 'PO-' || lpad(l.order_id::text, 5, '0'), s.code, l.disputed, coalesce(sum(c.disputes), 0)
FROM inventory_purchaseline l
JOIN inventory_sku s ON s.id = l.sku_id
LEFT JOIN inventory_suppliercomplaint c ON c.order_line_id = l.id AND c.state <> 'settled'
GROUP BY l.id, s.code HAVING l.disputed <> coalesce(sum(c.disputes), 0) ORDER BY l.id
"""
_BOOKED = """
SELECT 'D-' || lpad(d.id::text, 5, '0'), coalesce(r.read, 0), coalesce(p.booked, 0)
FROM inventory_delivery d
LEFT JOIN LATERAL (SELECT sum(quantity) AS read FROM inventory_deliveryline
                   WHERE delivery_id = d.id) r ON true
LEFT JOIN LATERAL (SELECT sum(on_hand_change) AS booked FROM inventory_ledgerline
                   WHERE posting_id = d.posting_id) p ON true
WHERE coalesce(p.booked, 0) <> CASE WHEN d.state = 'booked' THEN coalesce(r.read, 0) ELSE 0 END
ORDER BY d.id
"""
CHECKS = (
    Check(
        "expected",
        "What is expected of an order line is what is still to come of it.",
        by_sql(_EXPECTED, "{0}, {1}: {2} are to come, {3} are expected."),
        count_of("inventory_purchaseline", "order lines"),
    ),
    Check(
        "in doubt",
        "What is in doubt of an order line is what is complained of.",
        by_sql(_IN_DOUBT, "{0}, {1}: {2} are in doubt, {3} are complained of."),
        count_of("inventory_suppliercomplaint", "complaints to suppliers"),
    ),
    Check(
        "deliveries",
        "Every tyre that was read of a booked delivery is in its posting.",
        by_sql(_BOOKED, "{0}: {1} were read, {2} were booked."),
        count_of("inventory_delivery", "deliveries"),
    ),
)
