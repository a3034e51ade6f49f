"""Transfers: what is on the way is in transit, and what never came is written off or lies again."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_IN_TRANSIT = """
SELECT p.code, o.code, sum(l.quantity - l.arrived - l.missing), coalesce(max(b.on_hand), 0)
FROM inventory_transferline l
JOIN inventory_transfer t ON t.id = l.transfer_id
JOIN inventory_place p ON p.id = t.through_id
JOIN inventory_lot o ON o.id = l.lot_id
LEFT JOIN inventory_balance b ON b.lot_id = l.lot_id AND b.place_id = t.through_id
WHERE t.state IN ('on_the_way', 'arriving')
GROUP BY p.code, o.code HAVING sum(l.quantity - l.arrived - l.missing) > coalesce(max(b.on_hand), 0)
ORDER BY p.code, o.code
"""
# What was left behind is moved back, and that is no write-off.
_MISSING = """
SELECT 'T-' || lpad(t.id::text, 5, '0'), o.code, l.missing, coalesce(w.tyres, 0)
FROM inventory_transferline l
JOIN inventory_transfer t ON t.id = l.transfer_id JOIN inventory_lot o ON o.id = l.lot_id
LEFT JOIN LATERAL (
    SELECT sum(quantity) AS tyres FROM inventory_writeoff
    WHERE transfer_id = t.id AND lot_id = l.lot_id AND state = 'posted'
) w ON true
WHERE coalesce(w.tyres, 0) > l.missing
    OR t.short_reason <> 'left_behind' AND coalesce(w.tyres, 0) <> l.missing
ORDER BY t.id, o.code
"""
_TOGETHER = """
SELECT 'T-' || lpad(transfer_id::text, 5, '0'), sum(quantity) FROM inventory_writeoff
WHERE transfer_id IS NOT NULL AND state = 'posted' AND NOT self_checked
    AND asked_by_id = decided_by_id
GROUP BY transfer_id, asked_at, alone_up_to HAVING sum(quantity) > alone_up_to
ORDER BY transfer_id
"""
CHECKS = (
    Check(
        "on the way",
        "What transfers are still to bring lies in transit.",
        by_sql(_IN_TRANSIT, "In {0} lot {1}: {2} are to arrive, {3} are there."),
        count_of("inventory_transfer", "transfers"),
    ),
    Check(
        "not arrived",
        "What did not arrive was written off, or was left behind.",
        by_sql(_MISSING, "{0}, lot {1}: {2} did not arrive, {3} were written off."),
        count_of("inventory_transferline", "lines of transfers"),
    ),
    Check(
        "short by many",
        "What is missing of a transfer counts together, and many are written off by two.",
        by_sql(_TOGETHER, "{0}: {1} were written off by one person alone."),
        count_of("inventory_transfer", "transfers"),
    ),
)
