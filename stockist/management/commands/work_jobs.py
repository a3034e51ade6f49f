"""Work off the jobs that are due, in this process: what runs where there is no broker."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from inventory.ground.jobs.loop import patiently, work_off


class Command(BaseCommand):
    """Started by the shop itself when a job is asked for; harmless to start by hand."""

    help = (
        "Runs every job that is due, one after the other, and ends when nothing is due soon. "
        "Does nothing where another such process is at work."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        """Work until nothing is left."""
        taken = patiently(work_off)
        if options["verbosity"] > 1:
            self.stdout.write(f"Jobs were taken up {taken} times.")
