"""A hold that has run out is free for others from that moment: whoever writes lets it go first.

Reads count it as free (`inventory.availability`); a job of the night tidies up what nobody met.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from django.contrib.auth.models import User
from django.db import connection, transaction
from django.db.models import Q

from inventory.ground.prepared import prepared_cursor
from inventory.ledger.held import end_lapsed, lapsed, locked_holds, pairs_of
from inventory.ledger.locks import Locked, Pair, again_if_locked, lock_balances
from inventory.models.hold import Hold, HoldLine

# In the order of the house, whatever the join hands over first. Empty ones too: somebody may bring
# tyres there meanwhile, and they would be taken out of turn.
_SHELF = """
SELECT b.id FROM inventory_balance b JOIN inventory_lot l ON l.id = b.lot_id
WHERE l.sku_id = ANY(%s::bigint[]) ORDER BY b.lot_id, b.place_id FOR NO KEY UPDATE OF b
"""
# From what has run out, which is little, and not from all that is held of the SKUs: planned for any
# moment, the database expects a third of all holds to be over.
_RAN_OUT = """
SELECT h.id FROM inventory_hold h CROSS JOIN LATERAL (
    SELECT FROM inventory_holdline n JOIN inventory_lot l ON l.id = n.lot_id
    WHERE n.hold_id = h.id AND l.sku_id = ANY(%(skus)s::bigint[]) LIMIT 1
) of_them
WHERE h.state = 'open' AND h.order_line_id IS NULL AND h.until <= %(at)s::timestamptz
ORDER BY h.id
"""
# What was made while the others were waited for: had at once, or not at all.
_SINCE = """
SELECT b.id FROM inventory_balance b JOIN inventory_lot l ON l.id = b.lot_id
WHERE l.sku_id = ANY(%s::bigint[]) AND b.id <> ALL(%s::bigint[])
ORDER BY b.lot_id, b.place_id FOR NO KEY UPDATE OF b NOWAIT
"""


def let_lapsed_go(pairs: Iterable[Pair], *, by: User, at: datetime) -> tuple[Hold, ...]:
    """Before a posting on these balances: end the holds on them that have run out by `at`.

    Where there are none, nothing is locked and it costs one question. Else those holds, these
    balances and theirs are locked, all in one go: call it before any lock on a balance.
    """
    wanted = set(pairs)
    over = lapsed(at, Q(lines__lot__in={lot for lot, _ in wanted}))
    if not over:
        return ()
    holds = locked_holds(over)
    lock_balances(wanted | pairs_of(over))
    return _ended(holds, by=by, at=at)


def lock_free(pairs: Iterable[Pair], *, by: User, at: datetime) -> dict[Pair, Locked]:
    """`lock_balances`, with what has run out on them let go first."""
    wanted = set(pairs)
    let_lapsed_go(wanted, by=by, at=at)
    return lock_balances(wanted)


def lock_shelf(
    skus: Collection[int], *, by: User, at: datetime, holds: Collection[int] = ()
) -> dict[int, Hold]:
    """Lock all that lies of these SKUs, so that it can be read and chosen from.

    Holds that have run out on them are let go. ``holds`` are locked with those, in one order of
    keys, and handed back as they are now. Needs a transaction around it, and no lock on a hold or
    a balance from before.
    """
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("Locks last as long as a transaction does.")
    over = _lapsed_on(skus, at)
    found = locked_holds({*over, *holds})
    every = sorted({*skus, *_skus_of(found)})
    again_if_locked(lambda: _lock_all_of(every))
    _ended({key: found[key] for key in over}, by=by, at=at)
    return {key: found[key] for key in holds if key in found}


def _lapsed_on(skus: Collection[int], at: datetime) -> list[int]:
    """The holds on these SKUs that have run out, lowest key first."""
    with prepared_cursor() as cursor:
        cursor.execute(_RAN_OUT, {"at": at, "skus": list(skus)})
        return [key for (key,) in cursor.fetchall()]


def _skus_of(holds: Collection[int]) -> set[int]:
    """Every SKU that these holds hold some of."""
    if not holds:
        return set()
    rows = HoldLine.objects.filter(hold__in=holds).order_by("pk")
    return set(rows.values_list("lot__sku_id", flat=True))


def _lock_all_of(skus: list[int]) -> None:
    with prepared_cursor() as cursor:
        cursor.execute(_SHELF, [skus])
        locked = [key for (key,) in cursor.fetchall()]
        cursor.execute(_SINCE, [skus, locked])


def tidy(*, at: datetime, most: int = 100) -> int:
    """End holds that have run out by `at`, no more than `most`, each in the name of its maker.

    How many were ended.
    """
    with transaction.atomic():
        over = lapsed(at)[:most]
        holds = locked_holds(over)
        lock_balances(pairs_of(over))
        return len(_ended(holds, by=None, at=at))


def _ended(holds: dict[int, Hold], *, by: User | None, at: datetime) -> tuple[Hold, ...]:
    """End those of the locked holds that have run out still."""
    over = [hold for hold in holds.values() if hold.lapsed_by(at)]
    end_lapsed(over, by=by, at=at)
    return tuple(over)
