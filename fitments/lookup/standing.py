"""The register held as it is, while something is promised that rests on it.

Promises hold it together; whoever says something else of an approval waits until the promises
under way are kept or given up, and whoever promises next waits for them. So once a withdrawal is
in the register, no promise that rests on the approval comes after it.
"""

from __future__ import annotations

from datetime import datetime

from django.db import connection

# Any two numbers that nobody else in this database locks.
_LOCK = (20_261, 6)


def held_since() -> datetime:
    """Hold the register until the transaction ends; the moment from which it is what is known.

    The database's own time, read once the lock is had: what was said of approvals until then is
    in the register, and nothing else will be before the transaction has ended. Ask the register as
    known at this moment or later. Outside a transaction it only tells the time.
    """
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock_shared(%s, %s)", _LOCK)
        cursor.execute("SELECT clock_timestamp()")
        moment: datetime = cursor.fetchone()[0]
    return moment


def changing() -> None:
    """Wait until nobody holds the register, and let nobody hold it until the transaction ends."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s, %s)", _LOCK)
