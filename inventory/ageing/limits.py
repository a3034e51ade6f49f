"""Age bands from the house's limit, and where such limits come from. Pure."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from inventory.markings.datecode.age import oldest_allowed_week

ADVICE = (
    "The limit is the house's own advice, not law: for cars in Great Britain no law limits the age "
    "of a tyre. Since February 2021 tyres over ten years old may not be used on the front axles of "
    "lorries, buses and coaches nor on single wheels of minibuses (The Road Vehicles (Construction "
    "and Use) (Amendment) (No. 2) Regulations 2020; from memory). Whether an old tyre is fit for "
    "use is for a qualified fitter to say."
)


@dataclass(frozen=True, slots=True)
class Band:
    """From so many months of age on, until so many; ``until`` None: and older."""

    since: int
    until: int | None
    words: str

    def holds(self, week: int, on: date) -> bool:
        """Whether tyres of a week are of this age on a day; a tyre just at a limit is below it."""
        old_enough = not self.since or week < oldest_allowed_week(limit_months=self.since, on=on)
        return old_enough and (
            self.until is None or week >= oldest_allowed_week(limit_months=self.until, on=on)
        )


def bands(limit: int) -> tuple[Band, ...]:
    """Thirds of the limit (common practice, no source), and what is beyond it."""
    first, second = limit // 3, limit * 2 // 3
    edges = sorted({0, first, second, limit})
    within = [
        Band(since, until, f"up to {until} months" if not since else f"{since} to {until} months")
        for since, until in pairwise(edges)
    ]
    return (*within, Band(limit, None, f"over the limit of {limit} months"))


def crosses_on(last_day: date, limit: int) -> date:
    """The first day on which tyres made in a week that ended on ``last_day`` are over the limit."""
    year, month = divmod(last_day.year * 12 + last_day.month - 1 + limit, 12)
    day = min(last_day.day, monthrange(year, month + 1)[1])
    return date(year, month + 1, day) + timedelta(days=1)
