"""What the customer was told earlier, looked at again when they order: is it approved still?"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from inventory.activities.ordering.refusals import NotApprovedAnyMore
from inventory.models.hold import Hold
from inventory.promising import promised
from inventory.release import releases_for

LOST = "lost"
"""How the codes of reasons begin that are about an approval withdrawn in between."""


def refuse_lost(told: Sequence[tuple[Hold, datetime]], *, at: datetime) -> None:
    """Raise NotApprovedAnyMore where an approval was withdrawn since the customer was told.

    ``told``: what is held for them, with the moment of which they were told. Only what is for a car
    is looked at.
    """
    of_cars = [(hold, since) for hold, since in told if hold.car_id is not None]
    if not of_cars:
        return
    words = [
        reason.words
        for release in releases_for(promised(of_cars), at=at)
        for reason in release.reasons
        if reason.code.startswith(LOST)
    ]
    if words:
        raise NotApprovedAnyMore(list(dict.fromkeys(words)))
