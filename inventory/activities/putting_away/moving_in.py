"""Tyres put away: moved into a rack, if it has room."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Sum

from inventory.activities.moving import move
from inventory.ground.refusal import Refusal
from inventory.ledger.moves import some
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import Posting


class PlaceIsFull(Refusal):
    """The place would hold more tyres than it has room for."""

    def __init__(self, place: Place, there: int, quantity: int, field: str = "target") -> None:
        room = place.room or 0
        super().__init__(
            f"{place.code} has room for {room} and holds {there}: {quantity} more are "
            f"{there + quantity - room} too many. Nothing was changed: name another place, or say "
            "that they fit.",
            field=field,
        )


class NotARack(Refusal):
    """Tyres are put away into storage."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is {place.get_kind_display()}, no place to put tyres away in. "
            "Nothing was changed.",
            field="target",
        )


def put_away(
    *,
    lot: Lot,
    source: Place,
    target: Place,
    quantity: int,
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Posting:
    """Put so many of a lot away. ``they_fit``: somebody looked, whatever the room says.

    Two people at once do not fill a place beyond its room. Raises NotARack, PlaceIsFull, and what
    ``moving.move`` raises.
    """
    some(quantity)
    if target.kind != PlaceKind.STORAGE:
        raise NotARack(target)
    with transaction.atomic():
        held = room_for(target, quantity, they_fit=they_fit)
        return move(
            lot=lot, source=source, target=held, quantity=quantity, by=by, at=at, note="put away"
        )


def room_for(place: Place, quantity: int, *, they_fit: bool, field: str = "target") -> Place:
    """The place, locked, if it has room for so many more. Needs a transaction; before any balance.

    A place is looked at by one at a time, or two would each find the last free room. Raises
    PlaceIsFull.
    """
    held = Place.objects.select_for_update(no_key=True).get(pk=place.pk)
    if held.room is not None and not they_fit:
        there = Balance.objects.filter(place=held).aggregate(all=Sum("on_hand"))["all"] or 0
        if there + quantity > held.room:
            raise PlaceIsFull(held, there, quantity, field)
    return held
