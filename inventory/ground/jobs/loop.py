"""Working off what is due, one job after the other, in one process: what a broker spares."""

from __future__ import annotations

import time
from collections.abc import Callable

from django.db import InterfaceError, OperationalError, connection
from django.db.models import Case, F, Min, When
from django.utils import timezone

from inventory.ground.jobs.alone import only_one
from inventory.ground.jobs.model import Job, JobState
from inventory.ground.jobs.running import run

# What is due later than this is left to whoever looks next.
WORTH_WAITING_FOR = 900.0
_LOOK_EVERY = 2.0
_PATIENCE_WITH_DATABASE = 120.0

Pause = Callable[[float], None]


def work_off(*, pause: Pause = time.sleep) -> int:
    """Run what is due until nothing is, now or soon; how many times a job was taken up.

    Does nothing where another process is at it: that one looks once more before it ends, after it
    has let go of the lock, so that a job asked for in that moment is not left behind.
    """
    taken = 0
    while True:
        with only_one() as mine:
            if mine:
                taken += _while_any(pause)
        if not mine or soonest() is None:
            return taken


def soonest() -> float | None:
    """In how many seconds the next job is due, or its lease lapses; None if none is, or not soon.

    A job whose worker is alive counts: it might die.
    """
    moment = Case(When(state=JobState.RUNNING, then=F("lease_until")), default=F("due_at"))
    first = Job.objects.under_way().aggregate(first=Min(moment))["first"]
    if first is None:
        return None
    seconds = (first - timezone.now()).total_seconds()
    return max(seconds, 0.0) if seconds < WORTH_WAITING_FOR else None


def _while_any(pause: Pause) -> int:
    taken = 0
    while True:
        if run() is not None:
            taken += 1
            continue
        wait = soonest()
        if wait is None:
            return taken
        pause(min(wait + 0.05, _LOOK_EVERY))


def patiently(work: Callable[[], int], *, pause: Pause = time.sleep) -> int:
    """Do ``work`` again as long as the database goes away under it, for up to two minutes."""
    gone_since: float | None = None
    while True:
        began = time.monotonic()
        try:
            return work()
        except (OperationalError, InterfaceError):
            connection.close()
            if gone_since is None or began - gone_since > _PATIENCE_WITH_DATABASE * 2:
                gone_since = began
            if time.monotonic() - gone_since > _PATIENCE_WITH_DATABASE:
                raise
            pause(1.0)
