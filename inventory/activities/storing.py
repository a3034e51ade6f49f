"""Customers' own tyres: taken in to be kept until a day, and handed back from where they lie."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.lots import LotValues
from inventory.activities.opening import make_lots
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move, some
from inventory.ledger.post import post
from inventory.models.balance import Balance
from inventory.models.customer import Customer, CustomerCar
from inventory.models.lot import Condition, Lot, Owner
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import PostingKind
from inventory.models.sku import Sku
from inventory.models.storage import Storage, StoredLot


@dataclass(frozen=True, slots=True)
class Brought:
    """So many tyres that read alike, as the customer brought them."""

    sku: Sku
    quantity: int
    date_code: str = ""
    condition: str = Condition.FITTED


class NothingBrought(Refusal):
    """No tyres were named."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say which tyres were brought. Nothing was taken in.", field="sku")


class NotAPlaceToKeep(Refusal):
    """A place where tyres only wait, or are on their way."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.code} is for {place.get_kind_display()}: tyres are kept in a storage place. "
            "Nothing was taken in.",
            field="place",
        )


class DueBeforeToday(Refusal):
    """They would be overdue at once."""

    status = 400

    def __init__(self, due_on: date) -> None:
        super().__init__(
            f"{due_on.isoformat()} is past: say until when they are kept. Nothing was taken in.",
            field="due_on",
        )


class NotTheirCar(Refusal):
    """The car is somebody else's."""

    status = 400

    def __init__(self, customer: Customer) -> None:
        super().__init__(f"That car is not one of {customer}'s.", field="car")


class HandedBackAlready(Refusal):
    """Somebody handed them back before."""

    def __init__(self, row: Storage) -> None:
        super().__init__(
            f"{row.number} was handed to {row.handed_to} by {row.ended_by}. Nothing was changed."
        )


def take_in(
    *,
    customer: Customer,
    tyres: Sequence[Brought],
    place: Place,
    due_on: date,
    car: CustomerCar | None = None,
    note: str = "",
    by: User,
    at: datetime,
) -> Storage:
    """Keep tyres that are and stay the customer's: nobody is promised them.

    Raises NothingBrought, NoneAsked, NotWhole, TooMany, NotAPlaceToKeep, DueBeforeToday,
    NotTheirCar, Faulty (a date code that cannot be read, a note too long).
    """
    today = timezone.localtime(at).date()
    _look_over(customer, tyres, place, due_on, car, today)
    row = Storage(
        customer=customer, car=car, due_on=due_on, note=note, taken_in_at=at, taken_in_by=by
    )
    refuse_faulty(row, ["note"])
    with transaction.atomic(), named_violation():
        row.save(force_insert=True)
        values = [_values(row, one, number, today) for number, one in enumerate(tyres, 1)]
        lots = make_lots(values, by=by, at=at)
        moves = [Move(lot.pk, place.pk, t.quantity) for lot, t in zip(lots, tyres, strict=True)]
        StoredLot.objects.bulk_create(
            StoredLot(storage=row, lot=lot, quantity=one.quantity)
            for lot, one in zip(lots, tyres, strict=True)
        )
        post(kind=PostingKind.TAKE_IN, lines=moves, by=by, at=at, document=row.number)
    return row


def hand_back(*, storage: Storage, handed_to: str, by: User, at: datetime) -> Storage:
    """Book out what is left of it, wherever it lies now, blocked or not.

    Raises HandedBackAlready, Faulty (nobody named), NotThatMany (some are held for somebody).
    """
    with transaction.atomic(), named_violation():
        rows = Storage.objects.select_related("customer", "ended_by")
        row = locked_row(rows, storage.pk)
        if row.ended_at is not None:
            raise HandedBackAlready(row)
        row.ended_at, row.ended_by, row.handed_to = at, by, handed_to
        refuse_faulty(row, ["handed_to"])
        row.save(update_fields=["ended_at", "ended_by", "handed_to"])
        lies = lying(row)
        if lies:
            moves = [Move(one.lot_id, one.place_id, -one.on_hand) for one in lies]
            post(kind=PostingKind.HAND_BACK, lines=moves, by=by, at=at, document=row.number)
    return row


def lying(storage: Storage) -> list[Balance]:
    """Where its tyres lie now; what they were worked into counts as them."""
    new = family = set(storage.lots.values_list("lot_id", flat=True))
    while new:
        new = set(Lot.objects.filter(made_from__in=new).values_list("pk", flat=True))
        family = family | new
    rows = Balance.objects.filter(lot__in=family, on_hand__gt=0)
    return list(rows.select_related("lot__sku", "place__site").order_by("lot_id", "place_id"))


def _look_over(
    customer: Customer,
    tyres: Sequence[Brought],
    place: Place,
    due_on: date,
    car: CustomerCar | None,
    today: date,
) -> None:
    if not tyres:
        raise NothingBrought
    for one in tyres:
        some(one.quantity)
    if place.kind != PlaceKind.STORAGE:
        raise NotAPlaceToKeep(place)
    if due_on < today:
        raise DueBeforeToday(due_on)
    if car is not None and car.customer_id != customer.pk:
        raise NotTheirCar(customer)


def _values(row: Storage, brought: Brought, number: int, today: date) -> LotValues:
    return {
        "code": f"{row.number}.{number}",
        "sku": brought.sku,
        "date_code": brought.date_code,
        "received_on": today,
        "owner": Owner.CUSTOMER,
        "owner_customer": row.customer,
        "condition": brought.condition,
    }
