"""Goods on consignment: the consignor's while they are here, never promised, bought in as said."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_OTHERS = """
SELECT 'CG-' || lpad(c.id::text, 5, '0'), l.code FROM inventory_consignment c
JOIN inventory_consignedlot p ON p.consignment_id = c.id JOIN inventory_lot l ON l.id = p.lot_id
WHERE l.owner_supplier_id IS DISTINCT FROM c.supplier_id ORDER BY c.id, l.code
"""
_HELD = """
SELECT l.code, p.code, b.held, l.owner FROM inventory_balance b
JOIN inventory_lot l ON l.id = b.lot_id AND l.owner <> 'house'
JOIN inventory_place p ON p.id = b.place_id
WHERE b.held <> 0 ORDER BY l.code, p.code
"""
# What the steps of a posting say, against its lines: out of the consignor's lot and, where it was
# bought, into the house's.
_STEPS = """
WITH said AS (
    SELECT posting_id, lot_id, place_id, -quantity AS tyres FROM inventory_consignmentstep
    UNION ALL SELECT posting_id, into_id, place_id, quantity FROM inventory_consignmentstep
    WHERE into_id IS NOT NULL
), told AS (
    SELECT posting_id, lot_id, place_id, sum(tyres) AS tyres FROM said GROUP BY 1, 2, 3
), booked AS (
    SELECT g.posting_id, g.lot_id, g.place_id, g.on_hand_change AS tyres
    FROM inventory_ledgerline g JOIN inventory_posting p ON p.id = g.posting_id
    WHERE p.kind IN ('buy_in', 'give_back')
)
SELECT posting_id, l.code, coalesce(t.tyres, 0), coalesce(b.tyres, 0)
FROM told t FULL JOIN booked b USING (posting_id, lot_id, place_id)
JOIN inventory_lot l ON l.id = lot_id
WHERE t.tyres IS DISTINCT FROM b.tyres ORDER BY posting_id, l.code
"""
_INTO = """
SELECT 'CG-' || lpad(s.consignment_id::text, 5, '0'), i.code, l.code
FROM inventory_consignmentstep s
JOIN inventory_lot l ON l.id = s.lot_id JOIN inventory_lot i ON i.id = s.into_id
WHERE i.owner <> 'house' OR l.owner <> 'supplier' OR i.made_from_id IS DISTINCT FROM l.id
    OR (i.sku_id, i.date_code, i.mark, i.mark_issue, i.condition, i.unit_cost)
        IS DISTINCT FROM (l.sku_id, l.date_code, l.mark, l.mark_issue, l.condition, s.unit_cost)
ORDER BY s.consignment_id, i.code
"""
CHECKS = (
    Check(
        "consignor",
        "What is part of a consignment belongs to its supplier.",
        by_sql(_OTHERS, "{0} holds lot {1}, which is not its supplier's."),
        count_of("inventory_consignedlot", "consigned lots"),
    ),
    Check(
        "unpromised",
        "Nothing is held that is somebody else's.",
        by_sql(_HELD, "Lot {0} in {1}: {2} are held, and the owner is a {3}."),
        count_of("inventory_lot WHERE owner <> 'house'", "lots of others"),
    ),
    Check(
        "consignment steps",
        "What was bought in or given back is in its posting, and nothing else.",
        by_sql(_STEPS, "Posting {0}, lot {1}: {2} are said, {3} were booked."),
        count_of("inventory_consignmentstep", "steps of consignments"),
    ),
    Check(
        "bought in",
        "What was bought in is the house's, reads as it did before and costs what was said.",
        by_sql(_INTO, "{0}: lot {1} was bought from lot {2} and says other things of it."),
        count_of("inventory_consignmentstep WHERE kind = 'bought'", "steps bought in"),
    ),
)
