"""The night's look for approvals that are to be looked at again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from fitments.lookup.reviews import HORIZON_DAYS, Review, reviews_due
from inventory.ground.jobs.kinds import Step, Work, job_kind

KIND = "approval-reviews"
_NAMED = 10


@job_kind(KIND, title="Find approvals that are to be looked at again")
def look_for_reviews(work: Work, cursor: Any) -> Step:
    """List the approvals that are due within the house's horizon; nothing is changed by it."""
    today = timezone.localdate(work.at)
    found = reviews_due(on=today)
    return Step(done=len(found), total=len(found), result=said(found, today))


def said(found: Sequence[Review], today: date) -> str:
    """How many, how many of them overdue, and which come first."""
    if not found:
        return f"No approval is due for another look within {HORIZON_DAYS} days."
    late = sum(one.overdue(today) for one in found)
    many = "1 approval is" if len(found) == 1 else f"{len(found)} approvals are"
    names = ", ".join(one.code for one in found[:_NAMED])
    more = f" and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
    return (
        f"{many} due for another look within {HORIZON_DAYS} days, {late} of them overdue:"
        f" {names}{more}."
    )
