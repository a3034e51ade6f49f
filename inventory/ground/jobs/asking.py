"""Asking for a job, cancelling it, resuming it where it stopped, running it again."""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models.functions import Now

from inventory.ground.jobs.kinds import kind_named
from inventory.ground.jobs.model import ENDED, Job, JobFile, JobState
from inventory.ground.jobs.wake import wake
from inventory.ground.refusal import Refusal

log = logging.getLogger(__name__)
_LONGEST_SLOT = 160


class JobHasEnded(Refusal):
    """Only a job that is waiting or running can be cancelled."""


class JobIsNotStopped(Refusal):
    """Only a job that failed or was cancelled can be resumed."""


class JobIsNotDone(Refusal):
    """Only a job that is done can be run again."""


class CannotRunAgain(Refusal):
    """This kind of job is done once."""


@dataclass(frozen=True, slots=True)
class File:
    """A file for a job to work on, as it was sent."""

    name: str
    content: bytes


def ask(
    *,
    kind: str,
    slot: str,
    arguments: Mapping[str, Any] | None = None,
    by: User | None,
    at: datetime,
    due: datetime | None = None,
    file: File | None = None,
) -> Job:
    """Ask for a job; where its slot has one already, that one, and nothing is changed.

    ``by`` is None where the clock asks. ``due``: not before this moment. Raises NoSuchKind.
    """
    kind_named(kind)
    with transaction.atomic():
        wanted = Job(
            kind=kind,
            slot=slot[:_LONGEST_SLOT],
            arguments=dict(arguments or {}),
            due_at=due or Now(),  # the database's clock, by which it will be found due
            sent_at=Now(),
            made_at=at,
            asked_by=by,
        )
        # The earlier one of two at once is waited for, and its row is there then.
        Job.objects.bulk_create([wanted], ignore_conflicts=True)
        job = Job.objects.select_for_update(no_key=True).get(kind=kind, slot=wanted.slot)
        if file and not JobFile.objects.filter(job=job).exists() and job.attempt == 0:
            digest = hashlib.sha256(file.content).hexdigest()
            JobFile.objects.create(
                job=job, name=file.name[-200:], digest=digest, content=file.content
            )
        if job.state == JobState.WAITING:
            wake(job.pk)
    return job


def cancel(*, job_id: int, by: User, at: datetime) -> Job:
    """Stop a job: the chunk that is under way is undone, what was done before it stays.

    Cancelling what is cancelled does nothing. Raises Job.DoesNotExist, JobHasEnded.
    """
    with transaction.atomic():
        job = _locked(job_id)
        if job.state == JobState.CANCELLED:
            return job
        if job.state in ENDED:
            raise JobHasEnded(f"This job is {job.get_state_display()} already.")
        job.state = JobState.CANCELLED
        job.cancelled_at, job.cancelled_by = at, by
        job.ended_at, job.lease_until = at, None
        job.save(update_fields=["state", "cancelled_at", "cancelled_by", "ended_at", "lease_until"])
    return job


def resume(*, job_id: int, by: User | None, at: datetime) -> Job:
    """Let a job that failed or was cancelled go on where it stopped; by None: the night's command.

    Resuming what is under way does nothing. Raises Job.DoesNotExist, JobIsNotStopped.
    """
    with transaction.atomic():
        job = _locked(job_id)
        if job.state not in ENDED:
            return job
        if job.state == JobState.DONE:
            raise JobIsNotStopped("This job is done: there is nothing left to resume.")
        Job.objects.filter(pk=job.pk).update(
            state=JobState.WAITING,
            due_at=Now(),
            sent_at=Now(),
            failures=0,
            last_error="",
            cancelled_at=None,
            cancelled_by=None,
            ended_at=None,
        )
        log.info("job %s is resumed by %s", job.pk, by)
        wake(job.pk)
    job.refresh_from_db()
    return job


def run_again(*, job_id: int, by: User, at: datetime) -> Job:
    """Ask for the same once more, as a job of its own; the one under way if that was asked before.

    Raises Job.DoesNotExist, JobIsNotDone, CannotRunAgain.
    """
    with transaction.atomic():
        job = _locked(job_id)
        if job.state not in ENDED:
            raise JobIsNotDone("This job has not ended: wait for it, or cancel it.")
        if not kind_named(job.kind).again:
            raise CannotRunAgain("This is done once only: ask for it afresh where you asked first.")
        first = job.slot.partition(" again ")[0]
        again = Job.objects.filter(kind=job.kind, slot__startswith=f"{first} again ")
        under_way = again.under_way().order_by("pk").first()
        if under_way:
            return under_way
        slot = f"{first} again {again.count() + 1}"
        return ask(kind=job.kind, slot=slot, arguments=job.arguments, by=by, at=at)


def _locked(job_id: int) -> Job:
    return Job.objects.select_for_update(no_key=True).get(pk=job_id)
