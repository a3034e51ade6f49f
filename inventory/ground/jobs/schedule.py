"""What the clock asks for. Pure: a slot is a day, so two clocks, or a late one, make one job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any


@dataclass(frozen=True, slots=True)
class Daily:
    """A kind of job once a day, due at a time of the shop's own day."""

    kind: str
    at: time
    arguments: Mapping[str, Any] = field(default_factory=dict)

    def day_at(self, moment: datetime) -> date:
        """The day whose job is due at a moment (in the shop's zone): today's, or yesterday's still.

        The latest only: what the clock missed for a week is not done seven times.
        """
        today = moment.date()
        return today if moment.time() >= self.at else today - timedelta(days=1)

    def slot_on(self, day: date) -> str:
        """The slot of a day's job."""
        return day.isoformat()
