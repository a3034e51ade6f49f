"""What the customer was told earlier, looked at again when they order: is it approved still?"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from inventory.activities.ordering.refusals import NotApprovedAnyMore
from inventory.models.hold import Hold, HoldLine
from inventory.release import LeavingSet, LeavingTyres, releases_for

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
    tyres: dict[int, list[LeavingTyres]] = {hold.pk: [] for hold, _ in of_cars}
    rows = HoldLine.objects.filter(hold__in=tyres).select_related("lot").order_by("hold_id", "pk")
    for row in rows:
        one = LeavingTyres(row.lot.sku_id, row.lot_id, row.for_place, row.quantity)
        tyres[row.hold_id].append(one)
    sets = [
        LeavingSet(hold.pk, hold.what, hold.car_id, tuple(tyres[hold.pk]), hold.answer, since)
        for hold, since in of_cars
    ]
    words = [
        reason.words
        for release in releases_for(sets, at=at)
        for reason in release.reasons
        if reason.code.startswith(LOST)
    ]
    if words:
        raise NotApprovedAnyMore(list(dict.fromkeys(words)))
