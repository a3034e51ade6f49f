"""What a worker is sent, and the jobs of the ground."""

from __future__ import annotations

from celery import shared_task

from inventory.ground.jobs.housekeeping import forget_jobs, forget_keys
from inventory.ground.jobs.load_sheet import load_sheet
from inventory.ground.jobs.running import run

__all__ = ["forget_jobs", "forget_keys", "load_sheet", "run_job"]


# The message is done with once it is taken up: the row says what is left to do. One held open for
# as long as a job runs would be given back when a broker goes away, which kombu (5.7) does over a
# connection that is closed already, and the worker ends.
@shared_task(acks_late=False)
def run_job(job_id: int) -> None:
    """Work on a job for a spell; nothing happens if it is another worker's, or has ended."""
    run(job_id)
