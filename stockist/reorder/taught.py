"""What the latest night learnt; before the first night, learnt for the moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings

from inventory import reordering
from inventory.reordering.lessons import Kept, kept_of, latest, recalled


@dataclass(frozen=True, slots=True)
class Taught:
    """Lessons, the moment they are of (None: just now), and what they were learnt from."""

    kept: Kept
    at: datetime | None
    last_day: date
    skus: int
    pieces: int


def taught(at: datetime) -> Taught:
    """As a night kept it: one query. Where none did, the books of the whole house are read."""
    row = latest()
    if row is not None:
        return Taught(recalled(row.told), row.learnt_at, row.last_day, row.skus, row.pieces)
    found = reordering.outlook(at=at, limit_months=settings.HOUSE_AGE_LIMIT_MONTHS)
    kept = recalled(kept_of(found.known, found.learned))
    pieces = round(float(found.learned.forecast.units.sum()))
    return Taught(kept, None, found.periods.end, found.known.count, pieces)
