"""Jobs of the night that keep the machine's own tables small."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from inventory.ground.idempotency import forget
from inventory.ground.jobs.kinds import Step, Work, job_kind
from inventory.ground.jobs.model import ENDED, Job, JobFile

# Far longer than anybody goes on repeating a request, far shorter than would fill a table.
KEYS_ARE_KEPT = timedelta(days=30)
# The file of a job that failed or was cancelled: so long it can be resumed.
FILES_ARE_KEPT = timedelta(days=14)
JOBS_ARE_KEPT = timedelta(days=400)
_BATCH = 500


@job_kind("forget-keys", title="Forget old idempotency keys")
def forget_keys(work: Work, cursor: Any) -> Step:
    """Forget the idempotency keys of more than thirty days before it was asked for."""
    count = forget(before=work.at - KEYS_ARE_KEPT)
    return Step(done=count, total=count, result=f"{count} keys were forgotten.")


@job_kind("forget-jobs", title="Forget old jobs and their files")
def forget_jobs(work: Work, cursor: Any) -> Step:
    """Forget files of jobs that ended a fortnight ago, and jobs that ended over a year ago."""
    ended = Job.objects.filter(state__in=ENDED)
    stale = ended.filter(ended_at__lt=work.at - FILES_ARE_KEPT)
    JobFile.objects.filter(job__in=stale).delete()
    old = ended.filter(ended_at__lt=work.at - JOBS_ARE_KEPT).order_by("pk")
    numbers = list(old.values_list("pk", flat=True)[:_BATCH])
    Job.objects.filter(pk__in=numbers).delete()
    left = len(numbers) == _BATCH
    return Step(
        cursor={"after": numbers[-1]} if left else None,
        done=len(numbers),
        result="Jobs of over a year ago were forgotten, and files of a fortnight ago.",
    )
