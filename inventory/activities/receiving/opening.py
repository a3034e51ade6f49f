"""A delivery opened, taken up by somebody else, changed in its head, or given up."""

from __future__ import annotations

from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.receiving.inhand import in_hand, locked
from inventory.activities.receiving.refusals import (
    NoQuarantine,
    NoteBookedAlready,
    NotFromThem,
    NotThatKindOfPlace,
    NotWaitedFor,
    ReadAlready,
)
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.entries.faults import Fault, Faulty
from inventory.ground.violations import named_violation
from inventory.models.delivery import Delivery, DeliveryState
from inventory.models.place import Place, PlaceKind
from inventory.models.purchase import OPEN, PurchaseOrder
from inventory.models.supplier import Supplier

_HEAD = ("note_number", "arrived_on", "note")


class DeliveryValues(TypedDict, total=False):
    """What can be said of a delivery; quarantine is the site's first where none is named."""

    order: PurchaseOrder | None
    note_number: str
    arrived_on: date
    place: Place
    quarantine: Place
    note: str


def open_delivery(
    *, supplier: Supplier, by: User, at: datetime, **values: Unpack[DeliveryValues]
) -> Delivery:
    """Begin to book a delivery in, against an order or (old stock bought by hand) against none.

    Raises Faulty, NoteBookedAlready, NotFromThem, NotWaitedFor, NotThatKindOfPlace, NoQuarantine.
    """
    delivery = Delivery(
        supplier=supplier, opened_by=by, opened_at=at, at_work_by=by, at_work_at=at, **values
    )
    refuse_faulty(delivery, ("supplier", "place", *_HEAD))
    _sound(delivery, at)
    earlier = Delivery.objects.exclude(state=DeliveryState.GIVEN_UP).filter(
        supplier=supplier, note_number__iexact=delivery.note_number
    )
    if (there := earlier.first()) is not None:
        raise NoteBookedAlready(there)
    with named_violation(delivery_note_is_booked_once=NoteBookedAlready):
        delivery.save(force_insert=True)
    return delivery


def change_delivery(
    *, delivery: Delivery, by: User, at: datetime, **values: Unpack[DeliveryValues]
) -> Delivery:
    """Change what stands over the lines, such as the order that a delivery is booked against.

    Raises what ``open_delivery`` does, BookedAlready and InOtherHands.
    """
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        for name, value in values.items():
            setattr(held, name, value)
        refuse_faulty(held, ("place", *_HEAD))
        _sound(held, at)
        with named_violation(delivery_note_is_booked_once=NoteBookedAlready):
            held.save(update_fields=list(values) or ["note"])
    return held


def take_up(*, delivery: Delivery, by: User, at: datetime) -> Delivery:
    """Take a half-finished booking in hand; what was read stays. Raises BookedAlready."""
    with transaction.atomic():
        held = locked(delivery)
        held.at_work_by, held.at_work_at = by, at
        held.save(update_fields=["at_work_by", "at_work_at"])
    return held


def give_up(*, delivery: Delivery, why: str, by: User, at: datetime) -> Delivery:
    """Give a booking up: nothing of it reaches stock, and its note may be booked afresh.

    Raises ReadAlready (without a reason), BookedAlready, InOtherHands, Faulty.
    """
    if not why.strip():
        raise ReadAlready
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        held.state, held.ended_at, held.ended_by = DeliveryState.GIVEN_UP, at, by
        held.ended_why = why.strip()
        refuse_faulty(held, ["ended_why"])
        held.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
    return held


def _sound(delivery: Delivery, at: datetime) -> None:
    today = timezone.localtime(at).date()
    if delivery.arrived_on > today:
        words = f"{delivery.arrived_on.isoformat()} is still to come."
        raise Faulty([Fault("arrived_on", words)])
    if delivery.place.kind != PlaceKind.GOODS_IN:
        raise NotThatKindOfPlace(delivery.place, "goods in", "place")
    if delivery.quarantine_id is None:
        first = Place.objects.filter(site=delivery.place.site_id, kind=PlaceKind.QUARANTINE).first()
        if first is None:
            raise NoQuarantine(delivery.place)
        delivery.quarantine = first
    elif (
        delivery.quarantine.kind != PlaceKind.QUARANTINE
        or delivery.quarantine.site_id != delivery.place.site_id
    ):
        raise NotThatKindOfPlace(delivery.quarantine, "quarantine at the same site", "quarantine")
    order = delivery.order
    if order is not None and order.supplier_id != delivery.supplier_id:
        raise NotFromThem(order, delivery.supplier)
    if order is not None and order.state not in OPEN:
        raise NotWaitedFor(order)
