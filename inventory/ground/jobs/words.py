"""A job in words: what it is, and how far."""

from __future__ import annotations

from inventory.ground.jobs.kinds import every_kind
from inventory.ground.jobs.model import Job, JobState


def title_of(job: Job) -> str:
    """What a job does, such as “Load a spreadsheet: skus from spring.xlsx”."""
    kind = every_kind().get(job.kind)
    if kind is None:  # made by another release
        return str(job.kind)
    about = kind.about(job.arguments)
    return f"{kind.title}: {about}" if about else kind.title


def rows_of(job: Job) -> str:
    """How many rows are done and how many failed, such as “3,000 of 12,000 rows, 2 failed”."""
    seen = job.rows_done + job.rows_failed
    if not seen and not job.rows_total:
        return ""
    of = "" if job.rows_total is None else f" of {job.rows_total:,}"
    noun = "row" if (seen if job.rows_total is None else job.rows_total) == 1 else "rows"
    if job.rows_failed == seen and not of:
        return f"{seen:,} {noun} failed"
    failed = f", {job.rows_failed:,} failed" if job.rows_failed else ""
    return f"{seen:,}{of} {noun}{failed}"


def share_of(job: Job) -> int | None:
    """How many hundredths of its rows are behind it; None where that cannot be told.

    Once all rows are behind a job that goes on, what is left of it has no measure.
    """
    if job.state == JobState.DONE:
        return 100
    if not job.rows_total:
        return None
    share = 100 * (job.rows_done + job.rows_failed) // job.rows_total
    return None if share >= 100 and job.state == JobState.RUNNING else share


def told(job: Job) -> str:
    """A job in one line: what it is, where it stands, why."""
    why = {JobState.DONE: job.result, JobState.FAILED: job.last_error}.get(JobState(job.state))
    now = job.doing if job.state == JobState.RUNNING else ""
    parts = [part for part in (rows_of(job), now, why) if part]
    return f"{title_of(job)}: {job.get_state_display()}" + "".join(f"; {part}" for part in parts)
