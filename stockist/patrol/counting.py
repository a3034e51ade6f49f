"""Counts and write-offs: posted as counted, and nobody passed their own without saying so."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

# A second round goes before the first.
_LAST = """
SELECT DISTINCT ON (count_id, lot_id, place_id) count_id, lot_id, place_id,
    counted - ledger_said AS off, counted_by_id
FROM inventory_countline ORDER BY count_id, lot_id, place_id, again DESC
"""
_OTHERWISE = f"""
SELECT 'C-' || lpad(c.id::text, 5, '0'), coalesce(l.lot_id, n.lot_id)
FROM inventory_count c
LEFT JOIN ({_LAST}) n ON n.count_id = c.id AND n.off <> 0
FULL JOIN (
    SELECT g.posting_id, g.lot_id, g.place_id, g.on_hand_change FROM inventory_ledgerline g
    JOIN inventory_posting p ON p.id = g.posting_id AND p.kind = 'count'
) l ON l.posting_id = c.posting_id AND l.lot_id = n.lot_id AND l.place_id = n.place_id
WHERE (c.state = 'posted' OR c.id IS NULL) AND l.on_hand_change IS DISTINCT FROM n.off
ORDER BY 1, 2
"""  # noqa: S608 - put together from what stands above
_OWN = f"""
SELECT 'C-' || lpad(c.id::text, 5, '0') FROM inventory_count c
JOIN ({_LAST}) n ON n.count_id = c.id AND n.off <> 0
WHERE c.state = 'posted' AND NOT c.self_checked
GROUP BY c.id, c.ended_by_id, c.alone_up_to
HAVING sum(abs(n.off)) > c.alone_up_to AND bool_or(n.counted_by_id = c.ended_by_id)
UNION ALL SELECT 'W-' || lpad(id::text, 5, '0') FROM inventory_writeoff
WHERE state = 'posted' AND NOT self_checked AND quantity > alone_up_to
    AND asked_by_id = decided_by_id
ORDER BY 1
"""  # noqa: S608 - the same
CHECKS = (
    Check(
        "counts",
        "What a count posted is what it found.",
        by_sql(_OTHERWISE, "{0} and its posting disagree over lot number {1}."),
        count_of("inventory_count", "counts"),
    ),
    Check(
        "second-person",
        "Large differences and write-offs were passed by another person, or openly alone.",
        by_sql(_OWN, "{0} was passed by whoever did it, and does not say so."),
        count_of("inventory_writeoff", "write-offs"),
    ),
)
