"""The night's look for gaps: what it comes to stands in the list of jobs."""

from __future__ import annotations

from typing import Any

from inventory.ground.jobs.kinds import Step, Work, job_kind
from stockist.approvals.gaps import counted, gaps


@job_kind("coverage", title="Look for cars without tyres, approvals without SKUs, evidence due")
def look_for_gaps(work: Work, cursor: Any) -> Step:
    """Count what is missing on the day it was asked for; the page of it tells each."""
    found = gaps(at=work.at)
    return Step(done=len(found), total=len(found), result=counted(found))
