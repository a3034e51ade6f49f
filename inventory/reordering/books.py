"""The books, day by day: what was on the shelf, went out, came back, was asked for in vain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from django.conf import settings

from inventory.models.lot import Condition, Owner
from inventory.models.place import PlaceKind
from inventory.models.posting import PostingKind
from inventory.models.preorder import PreOrderState
from inventory.planning.arrays import Flags, Floats, Ints
from inventory.reordering.calendar import ORIGIN
from inventory.reordering.columns import columns_of
from inventory.reordering.range import Range
from inventory.reordering.sizes import read_sharers, shared

DAYS = 1 << 20
"""More than any day's number: SKU and day as one number."""
TO_SELL_FROM = (PlaceKind.STORAGE.value, PlaceKind.GOODS_IN.value)

# Booked in the shop's own days, which are reckoned once a posting and not once a line where all of
# them are read. What corrects a despatch is told as one. A customer's own tyres in storage are
# nobody's demand.
_LEDGER = """
SELECT l.sku_id AS sku, p.day,
    CASE WHEN l.owner = %(house)s AND l.condition = %(new)s
            AND g.place_id = ANY(SELECT id FROM inventory_place WHERE kind = ANY(%(racks)s::text[]))
        THEN g.on_hand_change ELSE 0 END AS shelf,
    CASE WHEN p.sent THEN -g.on_hand_change ELSE 0 END AS sold
FROM inventory_ledgerline g
JOIN (
    SELECT p.id, (p.at AT TIME ZONE %(zone)s)::date - %(origin)s::date AS day,
        coalesce(c.kind, p.kind) = ANY(%(sent)s::text[]) AS sent
    FROM inventory_posting p LEFT JOIN inventory_posting c ON c.id = p.corrects_id
    WHERE p.at < %(until)s {fence}
) p ON p.id = g.posting_id
JOIN inventory_lot l ON l.id = g.lot_id
WHERE g.on_hand_change <> 0 AND l.owner <> %(customer)s
    AND (%(only)s::bigint[] IS NULL OR l.sku_id = ANY(%(only)s))
"""
_ENQUIRIES = """
SELECT e.sku_id AS sku, (e.asked_at AT TIME ZONE %(zone)s)::date - %(origin)s::date AS day,
    e.pieces
FROM inventory_enquiry e
WHERE e.sku_id IS NOT NULL AND (%(only)s::bigint[] IS NULL OR e.sku_id = ANY(%(only)s))
"""
# A pre-order that was served counts when it went out; the others when somebody asked.
_QUEUED = """
SELECT x.sku_id AS sku, (o.queued_at AT TIME ZONE %(zone)s)::date - %(origin)s::date AS day,
    n.quantity AS pieces
FROM inventory_preorderline n
JOIN inventory_preorder o ON o.id = n.pre_order_id
JOIN inventory_expecteddelivery x ON x.id = n.expected_id
WHERE o.state <> %(served)s AND (%(only)s::bigint[] IS NULL OR x.sku_id = ANY(%(only)s))
"""
_EARLIER = """
SELECT e.sku_id AS sku, e.month - %(origin)s::date AS day, e.sold, e.asked_in_vain AS vain,
    e.days_without AS without
FROM inventory_earliersales e
WHERE %(only)s::bigint[] IS NULL OR e.sku_id = ANY(%(only)s)
"""


@dataclass(frozen=True, slots=True)
class Ledger:
    """By SKU and day, in that order: the change of what is to sell, and pieces sold less those
    that came back. ``level`` is what is to sell at the end of the day, ``until`` the day of the
    SKU's next entry, or the end."""

    row: Ints
    day: Ints
    level: Ints
    until: Ints
    sold: Ints

    def had_some(self, row: Ints, day: Ints) -> Flags:
        """Whether there was something to sell of a SKU at the end of a day."""
        if not self.row.size:
            return np.zeros(row.size, bool)
        found = np.searchsorted(self.row * DAYS + self.day, row * DAYS + day, "right")
        entry = np.maximum(found - 1, 0)
        return np.asarray((self.row[entry] == row) & (found > 0) & (self.level[entry] > 0))


@dataclass(frozen=True, slots=True)
class Asked:
    """Pieces asked for and not had, by SKU and day; parts of pieces where several SKUs share what
    was asked for."""

    row: Ints
    day: Ints
    pieces: Floats


@dataclass(frozen=True, slots=True)
class Earlier:
    """Months of other books, by SKU and first day of the month."""

    row: Ints
    day: Ints
    sold: Floats
    vain: Floats
    without: Floats


@dataclass(frozen=True, slots=True)
class Books:
    """Everything that history is made from."""

    ledger: Ledger
    asked: Asked
    earlier: Earlier


def read_books(known: Range, *, until: date, only: Sequence[int] | None = None) -> Books:
    """What is written down of these SKUs before a day. Six queries, however many there are.

    With ``only``, what was asked for by size is shared among these alone.
    """
    given = _given(until, only)
    ledger, earlier = _ledger(known, given, until), _earlier(known, given)
    asked = (_asked(known, given), _of_sizes(known, ledger, earlier, given))
    columns = ("row", "day", "pieces")
    both = (np.concatenate([getattr(one, name) for one in asked]) for name in columns)
    return Books(ledger, Asked(*both), earlier)


def _given(until: date, only: Sequence[int] | None) -> dict[str, Any]:
    return {
        "zone": settings.TIME_ZONE,
        "origin": ORIGIN,
        "until": until,
        "only": None if only is None else list(only),
        "house": Owner.HOUSE.value,
        "customer": Owner.CUSTOMER.value,
        "new": Condition.NEW.value,
        "racks": list(TO_SELL_FROM),
        "sent": [PostingKind.DESPATCH.value, PostingKind.RETURN.value],
        "served": PreOrderState.SERVED.value,
    }


def _ledger(known: Range, given: dict[str, Any], until: date) -> Ledger:
    kinds = {"sku": "i8", "day": "i4", "shelf": "i4", "sold": "i4"}
    fence = "OFFSET 0" if given["only"] is None else ""
    found = columns_of(_LEDGER.format(fence=fence), given, kinds, roomy=known.whole)
    moved = (found[name] for name in ("day", "shelf", "sold"))
    row, day, shelf, sold = _by_day(known.rows(found["sku"]), *moved)
    total = np.cumsum(shelf)
    first = np.diff(row, prepend=-1) != 0
    before = np.where(first, total - shelf, 0)
    level = total - before[np.maximum.accumulate(np.where(first, np.arange(row.size), 0))]
    following = np.append(day[1:], 0)
    last = np.diff(row, append=-1) != 0
    ends = np.where(last, (until - ORIGIN).days, following)
    return Ledger(row, day, level, ends, sold)


def _by_day(row: Ints, day: Ints, shelf: Ints, sold: Ints) -> tuple[Ints, Ints, Ints, Ints]:
    """The lines of known SKUs, those of one SKU and day as one, in the order of SKU and day."""
    mine = np.flatnonzero(row >= 0)
    key = row[mine] * DAYS + day[mine]
    order = np.argsort(key, kind="stable")
    mine, key = mine[order], key[order]
    starts = np.flatnonzero(np.append(True, key[1:] != key[:-1])[: key.size])
    if not starts.size:
        nothing = np.zeros(0, np.int64)
        return nothing, nothing, nothing, nothing
    moved, went = (np.add.reduceat(each[mine].astype(np.int64), starts) for each in (shelf, sold))
    return row[mine[starts]], day[mine[starts]].astype(np.int64), moved, went


def _asked(known: Range, given: dict[str, Any]) -> Asked:
    kinds = {"sku": "i8", "day": "i4", "pieces": "i4"}
    parts = [columns_of(query, given, kinds) for query in (_ENQUIRIES, _QUEUED)]
    sku, day, pieces = (np.concatenate([part[name] for part in parts]) for name in kinds)
    row = known.rows(sku)
    mine = row >= 0
    return Asked(row[mine], day[mine].astype(np.int64), pieces[mine].astype(float))


def _of_sizes(known: Range, ledger: Ledger, earlier: Earlier, given: dict[str, Any]) -> Asked:
    """What was asked for by size, shared among the SKUs in the books that had none that day."""
    sharers = read_sharers(given)
    row = known.rows(sharers.sku)
    dealt_in = np.isin(row, ledger.row) | np.isin(row, earlier.row)
    without = np.flatnonzero(dealt_in & ~ledger.had_some(row, sharers.day))
    parts = (np.bincount(each.row, each.sold, known.count) for each in (ledger, earlier))
    sold = np.sum([part.astype(float) for part in parts], axis=0)
    weight = np.maximum(sold[row[without]], 0.0) + 1.0
    pieces = shared(sharers, without, weight)
    return Asked(row[without], sharers.day[without], pieces)


def _earlier(known: Range, given: dict[str, Any]) -> Earlier:
    kinds = {"sku": "i8", "day": "i4", "sold": "f8", "vain": "f8", "without": "f8"}
    found = columns_of(_EARLIER, given, kinds)
    row = known.rows(found["sku"])
    mine = row >= 0
    columns = (found[name][mine] for name in ("sold", "vain", "without"))
    return Earlier(row[mine], found["day"][mine].astype(np.int64), *columns)
