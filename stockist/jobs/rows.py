"""A job as a page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.ground.jobs.kinds import every_kind
from inventory.ground.jobs.model import ENDED, Job, JobState
from inventory.ground.jobs.words import rows_of, share_of, title_of

# A sign beside the word, and the class that repeats it in colour.
_SIGNS = {
    JobState.WAITING: ("·", "cannot_tell"),
    JobState.RUNNING: ("→", "cannot_tell"),
    JobState.DONE: ("✓", "suits"),
    JobState.FAILED: ("✕", "does_not_suit"),
    JobState.CANCELLED: ("–", "caution"),
}


@dataclass(frozen=True, slots=True)
class JobRow:
    """One job: what it is, where it stands, how far, and what may be done about it.

    ``share`` is in hundredths, None where it cannot be told; ``has_bar``: whether there is anything
    to show of it.
    """

    job: Job
    title: str
    sign: str
    tone: str
    rows: str
    share: int | None

    @property
    def is_under_way(self) -> bool:
        return self.job.state not in ENDED

    @property
    def has_bar(self) -> bool:
        return self.job.state == JobState.RUNNING or self.share not in (None, 100)

    @property
    def why(self) -> str:
        """What came of it, why it stopped, or what it is at."""
        found = {JobState.DONE: self.job.result, JobState.RUNNING: self.job.doing}
        return str(found.get(JobState(self.job.state), self.job.last_error))

    @property
    def actions(self) -> tuple[tuple[str, str], ...]:
        """What may be done about it now: the name of its address, and the words on the button."""
        if self.is_under_way:
            return (("jobs:cancel", "Cancel"),)
        found = []
        if self.job.state != JobState.DONE:
            found.append(("jobs:resume", "Resume where it stopped"))
        kind = every_kind().get(self.job.kind)
        if kind and kind.again:
            found.append(("jobs:again", "Run again"))
        return tuple(found)


def job_row(job: Job) -> JobRow:
    """One job as a page shows it."""
    sign, tone = _SIGNS[JobState(job.state)]
    return JobRow(job, title_of(job), sign, tone, rows_of(job), share_of(job))
