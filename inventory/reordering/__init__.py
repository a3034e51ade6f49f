"""What will run out, by when and why: the books joined with planning. Reads only.

found = outlook(at=at, limit_months=72)
lines = alert_lines(found.situation)
"""

from inventory.reordering.noting import Matched, Noted, notes
from inventory.reordering.outlook import (
    Outlook,
    asked_by,
    outlook,
    season_on,
    with_purse,
    with_terms,
)
from inventory.reordering.plan import SeasonPlan, season_plan

__all__ = [
    "Matched",
    "Noted",
    "Outlook",
    "SeasonPlan",
    "asked_by",
    "notes",
    "outlook",
    "season_on",
    "season_plan",
    "with_purse",
    "with_terms",
]
