"""Work on tyres: as many out of one lot as into the one made from it, where they lie, and why."""

from __future__ import annotations

from stockist.patrol.check import Check, by_sql, count_of

_WORK = """
SELECT g.posting_id, p.note, count(*) AS lines, count(DISTINCT g.place_id) AS places,
    sum(g.on_hand_change) AS tyres,
    min(g.lot_id) FILTER (WHERE g.on_hand_change < 0) AS gone,
    min(g.lot_id) FILTER (WHERE g.on_hand_change > 0) AS made
FROM inventory_ledgerline g JOIN inventory_posting p ON p.id = g.posting_id AND p.kind = 'work'
GROUP BY g.posting_id, p.note
"""
_UNEVEN = f"""
SELECT posting_id, tyres, lines, places FROM ({_WORK}) w
WHERE tyres <> 0 OR lines <> 2 OR places <> 1 ORDER BY posting_id
"""  # noqa: S608 - put together from what stands above
_OTHER_TYRES = f"""
SELECT w.posting_id, o.code, m.code FROM ({_WORK}) w
JOIN inventory_lot o ON o.id = w.gone JOIN inventory_lot m ON m.id = w.made
WHERE m.made_from_id IS DISTINCT FROM o.id OR m.condition = 'new'
    OR (m.sku_id, m.date_code, m.mark, m.mark_issue, m.owner, m.owner_customer_id,
        m.owner_supplier_id) IS DISTINCT FROM
       (o.sku_id, o.date_code, o.mark, o.mark_issue, o.owner, o.owner_customer_id,
        o.owner_supplier_id)
ORDER BY w.posting_id
"""  # noqa: S608 - the same
_WHY = f"SELECT posting_id FROM ({_WORK}) w WHERE note = '' ORDER BY posting_id"  # noqa: S608
_OVER = count_of("inventory_posting WHERE kind = 'work'", "postings of work")
CHECKS = (
    Check(
        "work",
        "Work takes as many tyres out of one lot as it brings into another, where they lie.",
        by_sql(_UNEVEN, "Posting {0} comes to {1} tyres, in {2} lines and {3} places."),
        _OVER,
    ),
    Check(
        "worked",
        "A worked tyre is of the SKU, week, mark and owner of the lot it was made from.",
        by_sql(_OTHER_TYRES, "Posting {0}: lot {2} says other things than lot {1}, or is new."),
        _OVER,
    ),
    Check(
        "work says why",
        "Work says why it was done.",
        by_sql(_WHY, "Posting {0} does not."),
        _OVER,
    ),
)
