"""The demo's work on tyres: two race tyres buffed, who did it and why."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User

from inventory.activities.working import work
from inventory.models.balance import Balance
from inventory.models.lot import Condition, Owner
from inventory.models.maker import Use
from inventory.models.place import PlaceKind
from inventory.models.posting import Posting, PostingKind


def worked(*, at: datetime) -> str:
    """Buff two, once; what was done, in words."""
    if Posting.objects.filter(kind=PostingKind.WORK).exists():
        return "there already"
    lies = (
        Balance.objects.filter(
            on_hand__gte=6,
            held=0,
            place__kind=PlaceKind.STORAGE,
            lot__owner=Owner.HOUSE,
            lot__condition=Condition.NEW,
            lot__sku__pattern__use=Use.COMPETITION,
        )
        .select_related("lot", "place")
        .order_by("-lot__code", "pk")
        .first()
    )
    if lies is None:
        return "nothing to work on"
    made, _ = work(
        lot=lies.lot, place=lies.place, quantity=2, condition=Condition.BUFFED,
        buffed_to_mm=Decimal("4.0"), why="For practice in the wet; the class was asked.",
        by=User.objects.get(username="warehouse"), at=at,
    )  # fmt: skip
    return f"two of {lies.lot} buffed, lot {made} now"
