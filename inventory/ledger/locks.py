"""Locks on balances, in the one order of the house: by lot, then by place."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

import psycopg
from django.db import OperationalError, connection, transaction

from inventory.ledger.post import NoSuchStock

Pair = tuple[int, int]
"""A lot and a place, by their keys."""
Answer = TypeVar("Answer")
TRIES = 5

_MISSING = "SELECT ledger_make_balances(%s::bigint[], %s::bigint[])"
# Never FOR UPDATE: lots and places are referenced by rows that others insert meanwhile.
_LOCK = """
SELECT b.lot_id, b.place_id, b.on_hand, b.held FROM inventory_balance b
JOIN unnest(%s::bigint[], %s::bigint[]) AS m (lot_id, place_id) USING (lot_id, place_id)
ORDER BY b.lot_id, b.place_id FOR NO KEY UPDATE OF b
"""


@dataclass(frozen=True, slots=True)
class Locked:
    """What one balance says, and goes on saying until the transaction ends."""

    lot_id: int
    place_id: int
    on_hand: int
    held: int

    @property
    def free(self) -> int:
        """Tyres that nobody holds."""
        return self.on_hand - self.held


def lock_balances(pairs: Iterable[Pair]) -> dict[Pair, Locked]:
    """Lock these balances, made where they are missing, and say what is in them.

    For whoever has to look before posting. Needs a transaction around it, and no lock on any other
    balance from before: all of one piece of work are locked in one call. Raises `NoSuchStock`.
    """
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("Locks last as long as a transaction does.")
    wanted = sorted(set(pairs))
    columns = [[lot for lot, _ in wanted], [place for _, place in wanted]]
    with connection.cursor() as cursor:
        cursor.execute(_MISSING, columns)
        cursor.execute(_LOCK, columns)
        found = {row[:2]: Locked(*row) for row in cursor.fetchall()}
    if len(found) < len(wanted):
        raise NoSuchStock
    return found


def again_if_locked(work: Callable[[], Answer]) -> Answer:
    """Do `work`, which takes some of its locks at once or not at all; if not, all of it again.

    In a savepoint: what it had locked is let go in between, so that nobody is kept waiting
    crosswise. The last failure goes on to whoever opened the transaction (`ground.retry`).
    """
    for _ in range(TRIES - 1):
        try:
            with transaction.atomic():
                return work()
        except OperationalError as error:
            if not isinstance(error.__cause__, psycopg.errors.LockNotAvailable):
                raise
    return work()
