"""Getting somebody to look at a job: a worker by a message, or a child process without a broker.

Nothing rests on it. A message that is lost is sent again by the sweep; a child that was killed is
followed by the next one that is started.
"""

from __future__ import annotations

import logging
import subprocess
import sys

from celery import current_app
from django.conf import settings
from django.db import transaction
from kombu.exceptions import OperationalError

from inventory.ground.jobs.alone import somebody_works
from inventory.ground.jobs.model import Job

log = logging.getLogger(__name__)

RUN = "inventory.ground.tasks.run_job"
_children: list[subprocess.Popen[bytes]] = []


def wake(job_id: int) -> None:
    """Have a job looked at once the transaction has been committed."""
    transaction.on_commit(lambda: _look_at(job_id), robust=True)


def nudge() -> None:
    """Without a broker: start the child process if something is due and none works at it."""
    if not settings.REDIS_URL and Job.objects.due().exists():
        start_child()


def send(job_id: int) -> None:
    """Send a job's number to the workers; a broker that is away is noted, and no more."""
    try:
        current_app.send_task(RUN, args=[job_id], retry=False)
    except OperationalError as error:
        log.warning("job %s waits for the sweep, the broker does not answer: %s", job_id, error)


def start_child() -> None:
    """Start a process that works off what is due, unless there is one."""
    _children[:] = [child for child in _children if child.poll() is None]
    if not somebody_works():
        _children.append(_child())


def _child() -> subprocess.Popen[bytes]:
    # In a session of its own: it goes on when the terminal, or the server it came from, ends.
    return subprocess.Popen(  # noqa: S603
        [sys.executable, settings.BASE_DIR / "manage.py", "work_jobs"],
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )


def _look_at(job_id: int) -> None:
    if settings.REDIS_URL:
        send(job_id)
    else:
        start_child()
