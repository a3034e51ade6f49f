"""Doing something after the answer: by a worker where there is a broker, else in a child process.

Nothing long runs in a request, on a laptop without a broker either.
"""

from __future__ import annotations

import json
import subprocess
import sys

from celery import Task
from django.conf import settings
from django.db import transaction


def later(task: Task, *arguments: int | str) -> None:
    """Have `task` run with these arguments once the transaction has been committed.

    If it is rolled back nothing runs. Whoever must know that the task was really done keeps a row
    of its own: a broker may lose what it carries, and a child process may be killed.
    """
    transaction.on_commit(lambda: _send(task, arguments))


def _send(task: Task, arguments: tuple[int | str, ...]) -> None:
    if settings.REDIS_URL:
        task.delay(*arguments)
        return
    # In a session of its own: it goes on when the terminal, or the server it came from, ends.
    subprocess.Popen(  # noqa: S603
        [sys.executable, settings.BASE_DIR / "manage.py", "run_task", task.name]
        + [json.dumps(argument) for argument in arguments],
        stdin=subprocess.DEVNULL,
        start_new_session=True,
    )
