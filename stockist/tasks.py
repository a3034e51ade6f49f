"""What the clock asks the workers for."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from inventory.ground.jobs.sweep import sweep
from stockist.approvals.job import look_for_gaps
from stockist.reviews.job import look_for_reviews
from stockist.schedule import NIGHT

__all__ = ["look_for_gaps", "look_for_reviews", "sweep_jobs"]


@shared_task(acks_late=False)  # a sweep that was lost is followed by the next
def sweep_jobs() -> int:
    """Make what the clock asks for, send what is due; answers how many were sent."""
    return len(sweep(NIGHT, at=timezone.now()))
