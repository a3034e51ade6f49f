"""Customers' tyres: theirs while they are kept, and none here after they were handed back."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_LEFT = """
WITH RECURSIVE kin(storage_id, lot_id) AS (
    SELECT storage_id, lot_id FROM inventory_storedlot
    UNION SELECT k.storage_id, l.id FROM kin k JOIN inventory_storage s ON s.id = k.storage_id
    JOIN inventory_lot l ON l.made_from_id = k.lot_id AND l.owner_customer_id = s.customer_id
)
SELECT 'K-' || lpad(s.id::text, 5, '0'), sum(b.on_hand) FROM inventory_storage s
JOIN kin k ON k.storage_id = s.id
JOIN inventory_balance b ON b.lot_id = k.lot_id AND b.on_hand > 0
WHERE s.ended_at IS NOT NULL GROUP BY s.id ORDER BY 1
"""
_OTHERS = """
SELECT 'K-' || lpad(s.id::text, 5, '0'), l.code FROM inventory_storage s
JOIN inventory_storedlot p ON p.storage_id = s.id JOIN inventory_lot l ON l.id = p.lot_id
WHERE l.owner_customer_id IS DISTINCT FROM s.customer_id ORDER BY 1, 2
"""
CHECKS = (
    Check(
        "storage-ended",
        "Nothing is left of customers' tyres that were handed back.",
        by_sql(_LEFT, "{0} was handed back, and {1} of its tyres are still in the books."),
        count_of("inventory_storage", "storages"),
    ),
    Check(
        "storage-owner",
        "Tyres kept for a customer are that customer's.",
        by_sql(_OTHERS, "{0} holds lot {1}, which is not its customer's."),
        count_of("inventory_storedlot", "stored lots"),
    ),
)
