"""A complaint comes to its end: what it came to, and what the customer was answered."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.complaining.inhand import locked
from inventory.activities.complaining.refusals import NoSuchOutcome, SayTheAnswer
from inventory.ground.entries.alone import refuse_faulty
from inventory.models.complaint import ComplaintOutcome, ComplaintState, CustomerComplaint


def close(
    *,
    complaint: CustomerComplaint,
    outcome: ComplaintOutcome | str,
    answer: str,
    by: User,
    at: datetime,
) -> CustomerComplaint:
    """Close a complaint, whether the maker had it or not.

    Raises NoSuchOutcome, SayTheAnswer, ClosedAlready, Faulty.
    """
    if outcome not in ComplaintOutcome.values:
        raise NoSuchOutcome(outcome)
    if not answer.strip():
        raise SayTheAnswer
    with transaction.atomic():
        held = locked(complaint)
        held.state, held.closed_at, held.closed_by = ComplaintState.CLOSED, at, by
        held.outcome, held.answer = outcome, answer.strip()
        refuse_faulty(held, ["answer"])
        held.save(update_fields=["state", "closed_at", "closed_by", "outcome", "answer"])
    return held
