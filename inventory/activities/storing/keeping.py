"""Customers' tyres that stay longer than was said: until when, who decided it, and why."""

from __future__ import annotations

from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.storing.refusals import (
    YEARS,
    DueBeforeToday,
    HandedBackAlready,
    NotLater,
    SayWhyPutOff,
    YearsAhead,
)
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.violations import named_violation
from inventory.models.storage import Storage, StorageExtension


def keep_longer(*, storage: Storage, due_on: date, why: str, by: User, at: datetime) -> Storage:
    """Put off the day on which they are due, for a reason that is kept with who and when.

    Raises SayWhyPutOff, HandedBackAlready, DueBeforeToday, YearsAhead, NotLater, Faulty.
    """
    if not why.strip():
        raise SayWhyPutOff
    with transaction.atomic(), named_violation():
        row = locked_row(Storage.objects.select_related("customer", "ended_by"), storage.pk)
        if row.ended_at is not None:
            raise HandedBackAlready(row)
        refuse_day(due_on, timezone.localtime(at).date())
        if due_on <= row.due_on:
            raise NotLater(row)
        longer = StorageExtension(
            storage=row, due_before=row.due_on, due_after=due_on, why=why.strip(), extended_at=at,
            extended_by=by,
        )  # fmt: skip
        refuse_faulty(longer, ["why"])
        longer.save(force_insert=True)
        row.due_on = due_on
        row.save(update_fields=["due_on"])
    return row


def refuse_day(due_on: date, today: date) -> None:
    """Raise DueBeforeToday or YearsAhead for a day that cannot be meant."""
    if due_on < today:
        raise DueBeforeToday(due_on)
    if due_on.year > today.year + YEARS:
        raise YearsAhead(due_on)
