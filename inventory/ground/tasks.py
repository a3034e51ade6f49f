"""What a worker is sent, and the jobs of the ground."""

from __future__ import annotations

from celery import shared_task

from inventory.ground.jobs.housekeeping import forget_jobs, forget_keys
from inventory.ground.jobs.load_sheet import load_sheet
from inventory.ground.jobs.running import run

__all__ = ["forget_jobs", "forget_keys", "load_sheet", "run_job"]


@shared_task
def run_job(job_id: int) -> None:
    """Work on a job for a spell; nothing happens if it is another worker's, or has ended."""
    run(job_id)
