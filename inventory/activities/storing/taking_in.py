"""Tyres that a customer brings: lots of their own, that the ledger keeps and nobody is promised."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities.lots import LotValues
from inventory.activities.opening import make_lots
from inventory.activities.putting_away import room_for
from inventory.activities.storing.keeping import refuse_day
from inventory.activities.storing.refusals import NotAPlaceToKeep, NothingBrought, NotTheirCar
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move, some
from inventory.ledger.post import post
from inventory.models.customer import Customer, CustomerCar
from inventory.models.lot import Condition, Owner
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
    buffed_to_mm: Decimal | None = None


def take_in(
    *,
    customer: Customer,
    tyres: Sequence[Brought],
    place: Place,
    due_on: date,
    car: CustomerCar | None = None,
    note: str = "",
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Storage:
    """Keep tyres that are and stay the customer's: nobody is promised them.

    ``they_fit``: somebody looked, whatever the room says. Raises NothingBrought, NoneAsked,
    NotWhole, TooMany, NotAPlaceToKeep, PlaceIsFull, DueBeforeToday, YearsAhead, NotTheirCar,
    Faulty (a date code that cannot be read, a note too long).
    """
    today = timezone.localtime(at).date()
    _look_over(customer, tyres, place, car)
    refuse_day(due_on, today)
    row = Storage(
        customer=customer, car=car, due_on=due_on, note=note, taken_in_at=at, taken_in_by=by
    )
    refuse_faulty(row, ["note"])
    with transaction.atomic(), named_violation():
        room_for(place, sum(one.quantity for one in tyres), they_fit=they_fit, field="place")
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


def _look_over(
    customer: Customer, tyres: Sequence[Brought], place: Place, car: CustomerCar | None
) -> None:
    if not tyres:
        raise NothingBrought
    for one in tyres:
        some(one.quantity)
    if place.kind != PlaceKind.STORAGE:
        raise NotAPlaceToKeep(place)
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
        "buffed_to_mm": brought.buffed_to_mm,
    }
