"""A transfer arrives, scan by scan or by numbers; what did not come stays on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.moving import Step, move_together
from inventory.activities.not_arrived import end_if_all_told
from inventory.activities.putting_away import room_for
from inventory.activities.transferring.inhand import in_hand
from inventory.activities.transferring.refusals import NotThere, NotUnloadedThere
from inventory.activities.transferring.scanned import lot_scanned, refusal_of
from inventory.ledger.moves import NothingToPost, some
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind
from inventory.models.transfer import Transfer, TransferLine

UNLOADED_INTO = (PlaceKind.STORAGE, PlaceKind.GOODS_IN, PlaceKind.QUARANTINE)


@dataclass(frozen=True, slots=True)
class Arrived:
    """What a scan booked in, and the transfer as it stands."""

    transfer: Transfer
    lot: Lot
    quantity: int
    to_come: int


def scan_arrival(
    *,
    transfer: Transfer,
    scanned: str,
    place: Place,
    quantity: int | None = None,
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Arrived:
    """Book in what was scanned: all of its lot that is still to come, unless a number is said.

    Raises ArrivedAlready, InOtherHands, NotWanted, SeveralLots, NotOnThisTransfer, NotThere,
    NotUnloadedThere, PlaceIsFull, NoneAsked.
    """
    with transaction.atomic():
        held = in_hand(transfer, by=by, at=at)
        lot = lot_scanned(held, scanned)
        line = held.lines.filter(lot=lot).first()
        if line is None or line.to_come == 0:
            raise refusal_of(held, lot, line)
        count = line.to_come if quantity is None else quantity
        lines = _book(held, {lot.pk: count}, place, they_fit=they_fit, by=by, at=at)
    return Arrived(held, lot, count, sum(one.to_come for one in lines))


def book_arrival(
    *,
    transfer: Transfer,
    came: Mapping[int, int],
    place: Place,
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Transfer:
    """Book in what arrived of a transfer, by lot; what did not come stays on the way.

    ``came`` is from the keys of lots to tyres. ``they_fit``: somebody looked, whatever the room
    says. Raises ArrivedAlready, InOtherHands, NotThere, NotUnloadedThere, PlaceIsFull,
    NothingToPost, NoneAsked, NotOnThisTransfer.
    """
    with transaction.atomic():
        held = in_hand(transfer, by=by, at=at)
        _book(held, came, place, they_fit=they_fit, by=by, at=at)
    return held


def _book(
    held: Transfer,
    came: Mapping[int, int],
    place: Place,
    *,
    they_fit: bool,
    by: User,
    at: datetime,
) -> list[TransferLine]:
    if place.site_id != held.to_site_id:
        raise NotThere(place, held.to_site, "place")
    if place.kind not in UNLOADED_INTO:
        raise NotUnloadedThere(place)
    lines = {line.lot_id: line for line in held.lines.select_related("lot").order_by("pk")}
    steps = [_step(held, lines, lot_id, n, place) for lot_id, n in sorted(came.items())]
    if not steps:
        raise NothingToPost
    room_for(place, sum(step.quantity for step in steps), they_fit=they_fit, field="place")
    move_together(steps=steps, transfer=held, by=by, at=at, document=held.number)
    TransferLine.objects.bulk_update(lines.values(), ["arrived"])
    end_if_all_told(held, lines.values(), by=by, at=at)
    return list(lines.values())


def _step(
    transfer: Transfer, lines: Mapping[int, TransferLine], lot_id: int, quantity: int, place: Place
) -> Step:
    some(quantity)
    line = lines.get(lot_id)
    if line is None or quantity > line.to_come:
        raise refusal_of(transfer, line.lot if line else Lot.objects.get(pk=lot_id), line)
    line.arrived += quantity
    return Step(line.lot, transfer.through, place, quantity)
