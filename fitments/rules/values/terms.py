"""On which terms a tyre is judged: use, market, day, and the house's settings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from fitments.rules.values.traits import Weather

#: ±2.5 to 3 % when a size is changed is common practice, no source; the house takes the stricter.
DIAMETER_TOLERANCE_PERCENT = 2.5


class Use(StrEnum):
    """What the car is used for. A show car driven to the show is on the road."""

    ROAD = "road"
    TRACK = "track"
    SHOW = "show"


class Market(StrEnum):
    """Whose law and customs apply."""

    GB = "GB"
    EU = "EU"
    US = "US"
    OTHER = "other"

    @property
    def words(self) -> str:
        return {"GB": "Great Britain", "EU": "the EU", "US": "the US"}.get(self, "this market")


class MarkPolicy(StrEnum):
    """Whether the issuer of a mark wants one mark issue round the whole car."""

    FREE = "free"
    SAME = "same"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """``on`` is the day the tyre leaves; ``weather`` is what it is wanted for, None for any."""

    use: Use
    market: Market
    on: date
    diameter_tolerance_percent: float = DIAMETER_TOLERANCE_PERCENT
    weather: Weather | None = None
    mark_issues: MarkPolicy | None = None
