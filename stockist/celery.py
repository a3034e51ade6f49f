"""The Celery app: `celery -A stockist.celery worker`, `celery -A stockist.celery beat`."""

from __future__ import annotations

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "stockist.settings")

app = Celery("stockist")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
