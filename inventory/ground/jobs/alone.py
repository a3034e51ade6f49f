"""At most one child process at work: a lock of the database's that a killed process lets go of."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress

from django.db import DatabaseError, InterfaceError, connection

# Any two numbers that nobody else in this database locks.
_LOCK = (20_261, 1)


@contextmanager
def only_one() -> Iterator[bool]:
    """True inside the block if this is the one; False, without waiting, if there is one already."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_lock(%s, %s)", _LOCK)
        mine = bool(cursor.fetchone()[0])
    try:
        yield mine
    finally:
        if mine:
            # If the connection is gone, so is the lock.
            with suppress(DatabaseError, InterfaceError), connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_unlock(%s, %s)", _LOCK)


def somebody_works() -> bool:
    """Whether such a process is there; looks without taking the lock, which would send it away."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT EXISTS (SELECT FROM pg_locks WHERE locktype = 'advisory' AND granted "
            "AND database = (SELECT oid FROM pg_database WHERE datname = current_database()) "
            "AND classid = %s AND objid = %s AND objsubid = 2)",
            _LOCK,
        )
        return bool(cursor.fetchone()[0])
