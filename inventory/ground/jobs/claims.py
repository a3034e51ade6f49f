"""Who may work on a job just now, and what is written to it in that worker's name.

Every write here looks at the attempt: once another worker has taken a job up, the earlier one can
write nothing more, and the chunk it was at is rolled back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F
from django.db.models.functions import Coalesce, Now

from inventory.ground.jobs import timing
from inventory.ground.jobs.kinds import Step, Work
from inventory.ground.jobs.model import Job, JobFailure, JobQuerySet, JobState

_GIVEN_UP = (
    "It was broken off {times} times in a row at the same place, the last time without a word: "
    "perhaps the machine was short of memory. Resume it to try again from there."
)


class Lost(Exception):
    """The job is another worker's by now, or was cancelled: nothing of this chunk may stay."""


@dataclass(frozen=True, slots=True)
class Held:
    """A job in one worker's hands, by its attempt."""

    job_id: int
    attempt: int
    kind: str
    work: Work

    @property
    def row(self) -> JobQuerySet:
        """The job, as long as it is this worker's."""
        return Job.objects.filter(pk=self.job_id, attempt=self.attempt, state=JobState.RUNNING)


def claim(job_id: int | None = None) -> Held | None:
    """Take up a job that is due (this one, or the one due first); None if there is none free."""
    with transaction.atomic():
        due = Job.objects.due().order_by("due_at", "pk")
        wanted = due if job_id is None else due.filter(pk=job_id)
        job = wanted.select_for_update(skip_locked=True, no_key=True).first()
        if job is None:
            return None
        lapsed = job.state == JobState.RUNNING
        row = Job.objects.filter(pk=job.pk)
        if lapsed and job.failures + 1 >= timing.MOST_FAILURES:
            words = _GIVEN_UP.format(times=job.failures + 1)
            row.update(**_ended(JobState.FAILED), last_error=words)
            return None
        row.update(
            state=JobState.RUNNING,
            attempt=F("attempt") + 1,
            lease_until=Now() + timing.lease(),
            failures=F("failures") + int(lapsed),
            started_at=Coalesce("started_at", Now()),
        )
    work = Work(job.pk, job.slot, job.arguments, job.asked_by, job.made_at)
    return Held(job.pk, job.attempt + 1, job.kind, work)


def extend(held: Held) -> bool:
    """Hold the job for another lease; False if it is not this worker's any more."""
    return bool(held.row.update(lease_until=Now() + timing.lease()))


def cursor_of(held: Held) -> Any:
    """Where the next chunk begins. Raises Lost."""
    found = held.row.values_list("cursor", flat=True)
    for cursor in found:
        return cursor
    raise Lost


def record(held: Held, step: Step) -> None:
    """Write what a chunk did, as the last thing in its transaction. Raises Lost."""
    failed = len({wrong.row for wrong in step.wrong}) if step.failed is None else step.failed
    if step.afresh:
        JobFailure.objects.filter(job_id=held.job_id).delete()
    values: dict[str, Any] = {
        "cursor": step.cursor,
        "doing": step.doing,
        "failures": 0,
        "rows_done": step.done if step.afresh else F("rows_done") + step.done,
        "rows_failed": failed if step.afresh else F("rows_failed") + failed,
    }
    if step.total is not None or step.afresh:
        values["rows_total"] = step.total
    if step.refused:
        values |= _ended(JobState.FAILED) | {"last_error": step.refused}
    elif step.cursor is None:
        values |= _ended(JobState.DONE) | {"last_error": "", "result": step.result}
    else:
        values["lease_until"] = Now() + timing.lease()
    JobFailure.objects.bulk_create(
        [JobFailure(job_id=held.job_id, row=w.row, column=w.column, words=w.words)
         for w in step.wrong],
        batch_size=1000,
    )  # fmt: skip
    if not held.row.update(**values):
        raise Lost


def give_back(held: Held) -> bool:
    """Let others have a turn: the job waits again, due now."""
    return bool(held.row.update(state=JobState.WAITING, lease_until=None, due_at=Now()))


def fail(held: Held, sentence: str) -> None:
    """End the job: it cannot go on as it is."""
    held.row.update(**_ended(JobState.FAILED), last_error=sentence)


def break_off(held: Held, sentence: str) -> None:
    """Something unforeseen happened: try again after a pause, or give up after the last time."""
    with transaction.atomic():
        job = held.row.select_for_update(no_key=True).first()
        if job is None:
            return
        failures = job.failures + 1
        if failures >= timing.MOST_FAILURES:
            fail(held, sentence)
            return
        held.row.update(
            state=JobState.WAITING,
            lease_until=None,
            failures=failures,
            last_error=sentence,
            due_at=Now() + timing.pause_after(failures),
            sent_at=None,
        )


def _ended(state: JobState) -> dict[str, Any]:
    return {"state": state, "ended_at": Now(), "lease_until": None}
