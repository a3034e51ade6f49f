"""Keeping what a night learnt."""

from __future__ import annotations

from datetime import datetime

from inventory.ground.violations import named_violation
from inventory.models.learnt import Learnt
from inventory.reordering import Outlook
from inventory.reordering.lessons import kept_of


def keep_learnt(*, found: Outlook, at: datetime) -> Learnt:
    """Keep what was learnt of the whole range at a moment; one row a moment, however often."""
    told = {
        "first_day": found.periods.first,
        "last_day": found.periods.end,
        "skus": found.known.count,
        "pieces": round(float(found.learned.forecast.units.sum())),
        "told": kept_of(found.known, found.learned),
    }
    with named_violation():
        row, _ = Learnt.objects.update_or_create(learnt_at=at, defaults=told)
    return row
