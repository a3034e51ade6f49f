"""How long things take at the most; a setting of the same name may say otherwise (tests do)."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings


def _told(name: str, usual: timedelta) -> timedelta:
    found: timedelta = getattr(settings, name, usual)
    return found


def lease() -> timedelta:
    """For how long a worker holds a job without saying that it still does: JOB_LEASE.

    So long does a job rest whose worker was killed. A living one says so every third of it.
    """
    return _told("JOB_LEASE", timedelta(seconds=60))


def resend_after() -> timedelta:
    """After how long a message that no worker took up is taken for lost: JOB_RESEND_AFTER."""
    return _told("JOB_RESEND_AFTER", timedelta(seconds=60))


def spell() -> timedelta:
    """After how long a job that is not done lets others have a turn: JOB_SPELL."""
    return _told("JOB_SPELL", timedelta(minutes=5))


def longest_chunk() -> timedelta:
    """After how long a chunk is taken for hung, and its job given to another: JOB_LONGEST_CHUNK.

    Below CELERY_TASK_TIME_LIMIT less a spell, or the worker would be killed first.
    """
    return _told("JOB_LONGEST_CHUNK", timedelta(minutes=30))


def sweep_every() -> timedelta:
    """How often what is due is sent to the workers: JOB_SWEEP_EVERY."""
    return _told("JOB_SWEEP_EVERY", timedelta(seconds=60))


def pause_after(failures: int) -> timedelta:
    """How long a job rests after it broke off for the nth time in a row: JOB_PAUSE, then thrice."""
    pause: int = 3 ** (failures - 1)
    return _told("JOB_PAUSE", timedelta(seconds=10)) * pause


# So often in a row may a job break off at one place before it is given up.
MOST_FAILURES = 5
