"""The demo's counts: one that agreed, one that another person is to look at, and a write-off."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities import counting, writing_off
from inventory.models.balance import Balance
from inventory.models.count import Count
from inventory.models.place import Place, PlaceKind
from inventory.models.sku import SkuKind


def counts(*, at: datetime) -> str:
    """Count two racks, once; what was done, in words."""
    if Count.objects.exists():
        return "there already"
    by = User.objects.get(username="warehouse")
    racks = [place for place in _racks() if _lies(place)][:2]
    if len(racks) < 2:
        return "nothing to count"
    with transaction.atomic():
        _counted(racks[0], 0, by, at)
        _counted(racks[1], 6, by, at)
        _written_off(by, at)
    return "one rack agreed, one waits for another person, as does a write-off"


def _racks() -> list[Place]:
    """Racks, those that hold most tyres first, of which enough can be missed."""
    return sorted(
        Place.objects.filter(kind=PlaceKind.STORAGE).select_related("site").order_by("walk", "pk"),
        key=lambda place: (
            -sum(row.on_hand for row in _lies(place) if row.lot.sku.kind == SkuKind.TYRE)
        ),
    )


def _lies(place: Place) -> list[Balance]:
    rows = Balance.objects.filter(place=place, on_hand__gt=0).select_related("lot__sku")
    return list(rows.order_by("-on_hand", "pk"))


def _counted(place: Place, missed: int, by: User, at: datetime) -> None:
    """All of a place, but for so many of the lot of which there are most; twice, as it is done."""
    count = counting.begin(place=place, by=by, at=at)
    for again in (False, True):
        for number, row in enumerate(_lies(place)):
            wanted = row.on_hand - (min(missed, row.on_hand - 1) if number == 0 else 0)
            if not again or (number == 0 and missed):
                counting.enter(count=count, lot=row.lot, quantity=wanted, by=by, at=at)
        count, _ = counting.hand_in(count=count, by=by, at=at)
        if not missed:
            return


def _written_off(by: User, at: datetime) -> None:
    """Six of the oldest that anybody has, for another person to decide."""
    rows = Balance.objects.filter(on_hand__gte=6, held=0, place__kind=PlaceKind.STORAGE)
    oldest = rows.select_related("lot", "place").order_by("lot__week_index", "pk").first()
    if oldest is not None:
        writing_off.write_off(
            lot=oldest.lot, place=oldest.place, quantity=6, reason="too_old",
            why="Seven years old at the next stock-take.", by=by, at=at,
        )  # fmt: skip
