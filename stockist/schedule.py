"""The one schedule of the house.

The clock itself (`celery beat`, one or several) asks for one thing only: a sweep, each minute. The
sweep makes the job of each day that is due, so a clock that was away costs no more than the delay.
"""

from __future__ import annotations

from datetime import time
from typing import Any

from inventory.ground.jobs import timing
from inventory.ground.jobs.schedule import Daily

# In the order in which the night does them; the times are the shop's own.
NIGHT = (
    Daily("end-lapsed-holds", time(2, 50)),
    Daily("queues", time(3, 0)),
    Daily("forget-keys", time(3, 10)),
    Daily("forget-jobs", time(3, 20)),
    Daily("coverage", time(3, 40)),
    Daily("approval-reviews", time(3, 50)),
    Daily("reorder-alerts", time(4, 10)),
    Daily("ageing-alerts", time(4, 30)),
)


def beat() -> dict[str, dict[str, Any]]:
    """What `celery beat` is told; a sweep that is late is worth nothing, the next one is there."""
    seconds = timing.sweep_every().total_seconds()
    return {
        "sweep": {
            "task": "stockist.tasks.sweep_jobs",
            "schedule": seconds,
            "options": {"expires": seconds},
        }
    }
