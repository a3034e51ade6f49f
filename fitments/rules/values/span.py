"""A span of days, both ends inclusive, either end open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class DaySpan:
    """From a first to a last day, both inclusive; None is open. Raises ValueError if reversed."""

    first: date | None = None
    last: date | None = None

    def __post_init__(self) -> None:
        if self.first and self.last and self.first > self.last:
            raise ValueError(f"A span cannot run from {self.first} back to {self.last}.")

    @classmethod
    def day(cls, day: date) -> DaySpan:
        return cls(day, day)

    @classmethod
    def year(cls, year: int) -> DaySpan:
        return cls(date(year, 1, 1), date(year, 12, 31))

    @property
    def start(self) -> date:
        return self.first or date.min

    @property
    def end(self) -> date:
        return self.last or date.max

    @property
    def known(self) -> bool:
        """Whether at least one end is."""
        return self.first is not None or self.last is not None

    def holds(self, day: date) -> bool:
        return self.start <= day <= self.end

    def covers(self, other: DaySpan) -> bool:
        return self.start <= other.start and other.end <= self.end

    def overlaps(self, other: DaySpan) -> bool:
        return self.start <= other.end and other.start <= self.end


ALWAYS = DaySpan()
