"""One job, chunk by chunk."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from django.db import DatabaseError, InterfaceError, OperationalError, connection, transaction

from inventory.ground.jobs import claims, timing
from inventory.ground.jobs.claims import Held, Lost
from inventory.ground.jobs.heartbeat import Heartbeat
from inventory.ground.jobs.kinds import JobKind, Step, kind_named
from inventory.ground.jobs.wake import wake
from inventory.ground.refusal import Busy, Refusal
from inventory.ground.retry import retried
from inventory.ground.violations import violation

log = logging.getLogger(__name__)

_UNFORESEEN = "Something happened that nobody foresaw: {what}. Resume it to try again from there."


# Told after each chunk: the pk of the job.
Tell = Callable[[int], None]


def run(job_id: int | None = None, *, tell: Tell | None = None) -> int | None:
    """Work on a job for a spell: this one, or the one that is due first.

    Answers its pk; None where there was none to be had, since it is not due, has ended, or is in
    another worker's hands. What goes wrong is written to the job. Only a database that went away
    is raised (OperationalError, InterfaceError): then the job is left as it stands, and is taken up
    again when its lease has lapsed.
    """
    held = claims.claim(job_id)
    if held is None:
        return None
    try:
        _work_on(held, tell)
    except Lost:
        log.info("job %s was taken from attempt %s", held.job_id, held.attempt)
    except Busy as busy:
        claims.break_off(held, busy.sentence)
    except Refusal as refusal:
        claims.fail(held, refusal.sentence)
    except (OperationalError, InterfaceError):
        connection.close()
        raise
    except Exception as error:
        log.exception("job %s broke off", held.job_id)
        claims.break_off(held, _words_for(error))
    return held.job_id


def _work_on(held: Held, tell: Tell | None) -> None:
    kind = kind_named(held.kind)
    until = time.monotonic() + timing.spell().total_seconds()
    with Heartbeat(held) as heartbeat:
        while True:
            heartbeat.new_chunk()
            step = retried(lambda: _chunk(held, kind))
            if tell:
                tell(held.job_id)
            if step.cursor is None or step.refused:
                return
            if time.monotonic() > until:
                break
    if claims.give_back(held):
        wake(held.job_id)


def _chunk(held: Held, kind: JobKind) -> Step:
    with transaction.atomic():
        step = kind.step(held.work, claims.cursor_of(held))
        claims.record(held, step)
    return step


def _words_for(error: Exception) -> str:
    if isinstance(error, DatabaseError):
        return violation(error).sentence
    what = f"{type(error).__name__}: {error}".rstrip(": ").replace("\x00", "")
    return _UNFORESEEN.format(what=what[:1000])
