"""Trying again what failed only because others did the same thing at the same moment."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from typing import TypeVar

import psycopg
from django.db import OperationalError, connection

from inventory.ground.refusal import Busy

Answer = TypeVar("Answer")

# deadlock_detected, serialization_failure, lock_not_available
PASSING = frozenset({"40P01", "40001", "55P03"})
RETRIES = 3


def is_passing(error: BaseException) -> bool:
    """Whether this is a deadlock, a serialization failure or a lock that could not be had."""
    cause = error.__cause__
    return isinstance(cause, psycopg.Error) and cause.sqlstate in PASSING


def retried(work: Callable[[], Answer], *, pause: Callable[[float], None] = time.sleep) -> Answer:
    """Do `work`, which opens its own transaction, and do it again up to three times if need be.

    Only the outermost transaction can be tried again: inside one, `work` runs once and the error
    goes on to whoever opened it. Raises `Busy` when the last try failed as well.
    """
    if connection.in_atomic_block:
        return work()
    for attempt in range(RETRIES + 1):
        try:
            return work()
        except OperationalError as error:
            if not is_passing(error):
                raise
            last = error
        if attempt < RETRIES:
            # Not the same pause for everyone, or they would meet again.
            pause(0.02 * 2**attempt * (1 + random.random()))  # noqa: S311
    raise Busy from last
