"""The Celery app: `celery -A stockist.celery worker`, `celery -A stockist.celery beat`."""

from __future__ import annotations

import os
from typing import Any

from celery import Celery
from celery.signals import worker_ready

from stockist import schedule

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "stockist.settings")

app = Celery("stockist")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.conf.beat_schedule = schedule.beat()
app.autodiscover_tasks()


def sweep_at_start(**kwargs: Any) -> None:
    """A worker that starts looks for what was left while there was none."""
    app.send_task("stockist.tasks.sweep_jobs", expires=60)


worker_ready.connect(sweep_at_start, weak=False)
