"""What is swept up each minute: what the clock asks for is made, what is due is sent to workers.

Any number of sweeps may run at once, and any number may be missed.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.conf import settings
from django.db import transaction
from django.db.models.functions import Now
from django.utils import timezone

from inventory.ground.jobs.asking import ask
from inventory.ground.jobs.model import Job
from inventory.ground.jobs.schedule import Daily
from inventory.ground.jobs.wake import send

_MOST_AT_ONCE = 500


def sweep(schedule: Iterable[Daily], *, at: datetime) -> list[int]:
    """Make the jobs that the clock asks for; send, and answer, what is due and was not sent lately.

    That is also what a killed worker left (once its lease has lapsed) and what a broker lost.
    """
    moment = timezone.localtime(at)
    for daily in schedule:
        make(daily, daily.day_at(moment), at=at)
    with transaction.atomic():
        due = Job.objects.due().not_sent_lately().order_by("due_at", "pk")
        found = due.select_for_update(skip_locked=True, no_key=True)
        numbers = list(found.values_list("pk", flat=True)[:_MOST_AT_ONCE])
        Job.objects.filter(pk__in=numbers).update(sent_at=Now())
    if settings.REDIS_URL:
        for number in numbers:
            send(number)
    return numbers


def make(daily: Daily, day: date, *, at: datetime) -> Job:
    """The job of a day, made now if nobody has made it yet."""
    slot = daily.slot_on(day)
    found = Job.objects.filter(kind=daily.kind, slot=slot).first()
    return found or ask(kind=daily.kind, slot=slot, arguments=daily.arguments, by=None, at=at)
