"""One SKU's stock against what may be asked for, reckoned at this moment by the night's lessons."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from django.conf import settings
from django.utils import timezone

from inventory import reordering
from inventory.models.sku import Sku
from inventory.planning import NEVER, cover
from inventory.reordering.course import courses
from inventory.reordering.demand import with_its_size
from stockist.drawings.course import Course, course
from stockist.reorder.taught import Taught


@dataclass(frozen=True, slots=True)
class Ahead:
    """``rate`` pieces are asked for in a month of no season, ``own`` of that is its own history;
    ``expected`` and ``level`` are until ``until``, when the order after the next one comes.
    ``risk`` is the first day on which it may run out, None where it lasts."""

    rate: str
    own: str
    expected: str
    level: int
    until: date
    service: str
    risk: date | None
    course: Course | None


def ahead_of(sku: Sku, taught: Taught, at: datetime) -> Ahead:
    """The same projection that the night makes of all, of one alone."""
    today = timezone.localdate(at)
    found = reordering.outlook(
        at=at,
        limit_months=settings.HOUSE_AGE_LIMIT_MONTHS,
        only=with_its_size(sku),
        taught=taught.kept,
    )
    rows = found.known.rows(np.array([sku.pk]))
    row, situation = int(rows[0]), found.situation
    projected = cover(situation.position, service=situation.house.service, rows=rows)
    forecast, risk = found.learned.forecast, int(projected.first_risk[0])
    return Ahead(
        f"{forecast.rate[row]:.2f}",
        f"{forecast.own[row]:.0%}".replace("%", " %"),
        f"{projected.mean[0]:.1f}",
        int(projected.level[0]),
        today + timedelta(days=int(situation.position.supply.until[row])),
        f"{situation.house.service:.0%}".replace("%", " %"),
        None if risk == NEVER else today + timedelta(days=risk),
        course(courses(situation, rows)[0], today),
    )
