"""What is there now, and what is known to come or is queued for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from inventory.models.expected import ExpectedState
from inventory.models.hold import HoldState
from inventory.models.lot import Condition, Owner
from inventory.models.preorder import PreOrderState
from inventory.planning.arrays import Ints
from inventory.planning.shelf import Moves, Shelf
from inventory.reordering.books import TO_SELL_FROM
from inventory.reordering.calendar import ORIGIN, number
from inventory.reordering.columns import columns_of, rows_of
from inventory.reordering.range import Range

_MAY_BE_SOLD = """l.owner = %(house)s AND l.condition = %(new)s AND p.kind = ANY(%(racks)s::text[])
    AND coalesce(l.week_index >= %(oldest)s, true)
    AND NOT EXISTS (SELECT FROM inventory_block k WHERE k.lot_id = l.id AND k.lifted_at IS NULL)"""
_BALANCES = f"""
SELECT q.sku, sum(CASE WHEN q.good THEN q.on_hand ELSE 0 END) AS on_hand,
    sum(CASE WHEN q.good THEN q.held ELSE 0 END) AS held,
    sum(CASE WHEN q.good THEN 0 ELSE q.on_hand END) AS out
FROM (
    SELECT l.sku_id AS sku, b.on_hand, b.held, {_MAY_BE_SOLD} AS good
    FROM inventory_balance b
    JOIN inventory_lot l ON l.id = b.lot_id
    JOIN inventory_place p ON p.id = b.place_id
    WHERE b.on_hand > 0 AND l.owner = %(house)s
        AND (%(only)s::bigint[] IS NULL OR l.sku_id = ANY(%(only)s))
) q GROUP BY 1
"""  # noqa: S608 - put together from constants
# Held in the ledger still, and free for others since its time ran out.
_LAPSED = f"""
SELECT l.sku_id AS sku, sum(n.quantity) AS held
FROM inventory_holdline n
JOIN inventory_hold h ON h.id = n.hold_id
JOIN inventory_lot l ON l.id = n.lot_id
JOIN inventory_place p ON p.id = n.place_id
WHERE h.state = %(open)s AND h.order_line_id IS NULL AND h.until <= %(at)s AND {_MAY_BE_SOLD}
    AND (%(only)s::bigint[] IS NULL OR l.sku_id = ANY(%(only)s))
GROUP BY 1
"""  # noqa: S608
_COMING = """
SELECT x.sku_id, x.expected_on, x.quantity, x.reference
FROM inventory_expecteddelivery x
WHERE x.state = %(expected)s AND (%(only)s::bigint[] IS NULL OR x.sku_id = ANY(%(only)s))
ORDER BY x.expected_on, x.id
"""
_QUEUED = """
SELECT x.sku_id AS sku, x.expected_on - %(origin)s::date AS day, sum(n.quantity) AS units
FROM inventory_preorderline n
JOIN inventory_preorder o ON o.id = n.pre_order_id
JOIN inventory_expecteddelivery x ON x.id = n.expected_id
WHERE o.state = %(waiting)s AND x.state = %(expected)s
    AND (%(only)s::bigint[] IS NULL OR x.sku_id = ANY(%(only)s))
GROUP BY 1, 2
"""


@dataclass(frozen=True, slots=True)
class Coming:
    """What is on order, with what each is ordered under and the day that was told."""

    moves: Moves
    references: list[str]
    due: list[date]


def read_shelf(known: Range, *, at: datetime, oldest_week: int) -> Shelf:
    """What may be sold, what of it is held, and what is kept out: in quarantine, blocked, made
    before ``oldest_week``, or no longer new. Undated tyres are not too old."""
    given = {
        "house": Owner.HOUSE.value,
        "new": Condition.NEW.value,
        "racks": list(TO_SELL_FROM),
        "oldest": oldest_week,
        "open": HoldState.OPEN.value,
        "only": known.only,
        "at": at,
    }
    names = ("on_hand", "held", "out")
    kinds = {"sku": "i8", **dict.fromkeys(names, "i8")}
    found = columns_of(_BALANCES, given, kinds, roomy=known.whole)
    on_hand, held, out = (_spread(known, found["sku"], found[name]) for name in names)
    lapsed = columns_of(_LAPSED, given, {"sku": "i8", "held": "i8"})
    held = np.maximum(held - _spread(known, lapsed["sku"], lapsed["held"]), 0)
    return Shelf(on_hand, held, out)


def _spread(known: Range, sku: Ints, pieces: Ints) -> Ints:
    row = known.rows(sku)
    found = np.zeros(known.count, np.int64)
    np.add.at(found, row[row >= 0], pieces[row >= 0])
    return found


def read_coming(known: Range, *, today: date) -> Coming:
    """What is on order and has not come."""
    rows = rows_of(_COMING, {"expected": ExpectedState.EXPECTED.value, "only": known.only})
    row = known.rows(np.array([entry[0] for entry in rows], np.int64))
    mine = [(int(at), *entry[1:]) for at, entry in zip(row, rows, strict=True) if at >= 0]
    columns = np.array([(at, (on - today).days, units) for at, on, units, _ in mine], np.int64)
    moves = Moves(*columns.reshape(-1, 3).T)
    return Coming(moves, [entry[3] for entry in mine], [entry[1] for entry in mine])


def read_queued(known: Range, *, today: date) -> Moves:
    """What is spoken for of it, on the day that it comes."""
    given = {
        "origin": ORIGIN,
        "waiting": PreOrderState.WAITING.value,
        "expected": ExpectedState.EXPECTED.value,
        "only": known.only,
    }
    found = columns_of(_QUEUED, given, {"sku": "i8", "day": "i4", "units": "i8"})
    row = known.rows(found["sku"])
    mine = row >= 0
    day = found["day"][mine].astype(np.int64) - number(today)
    return Moves(row[mine], day, found["units"][mine])
