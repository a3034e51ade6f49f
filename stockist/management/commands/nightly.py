"""The night's jobs, done now and waited for."""

from __future__ import annotations

import time
from datetime import datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from inventory.ground.jobs.asking import resume
from inventory.ground.jobs.loop import patiently
from inventory.ground.jobs.model import ENDED, Job, JobState
from inventory.ground.jobs.running import run
from inventory.ground.jobs.sweep import make
from inventory.ground.jobs.words import told
from stockist.schedule import NIGHT

_LOOK_EVERY = 0.5


class Command(BaseCommand):
    """For a shop without a clock of its own (cron), and for a person who will not wait for it."""

    help = (
        "Runs the jobs of today's night that are not done yet, here or by whichever worker has "
        "them, shows how far they are, and ends with 1 if one of them failed."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        """Make the jobs, see to it that each is run to its end, and say what came of it."""
        self._said: dict[int, str] = {}
        numbers = self._jobs(timezone.now())
        patiently(lambda: self._until_ended(numbers))
        failed = Job.objects.filter(pk__in=numbers, state=JobState.FAILED).count()
        if failed:
            raise CommandError(f"{failed} of {len(numbers)} jobs of the night failed.")

    def _jobs(self, at: datetime) -> list[int]:
        jobs = [make(daily, timezone.localdate(at), at=at) for daily in NIGHT]
        for job in jobs:
            if job.state == JobState.FAILED:
                resume(job_id=job.pk, by=None, at=at)
        return [job.pk for job in jobs]

    def _until_ended(self, numbers: list[int]) -> int:
        while True:
            left = Job.objects.filter(pk__in=numbers).exclude(state__in=ENDED)
            waiting = sorted(left.values_list("pk", flat=True))
            ran = [number for number in waiting if run(number, tell=self._tell) is not None]
            for number in numbers:
                self._tell(number)
            if not waiting:
                return len(numbers)
            if not ran:
                time.sleep(_LOOK_EVERY)

    def _tell(self, number: int) -> None:
        line = told(Job.objects.get(pk=number))
        if self._said.get(number) != line:
            self._said[number] = line
            self.stdout.write(line)
            self.stdout.flush()
