"""Goods taken on consignment, and goods that lie here already of which something is agreed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Sum
from django.utils import timezone

from inventory.activities.consigning.lying import agreed_of
from inventory.activities.consigning.refusals import (
    AgreedAlready,
    DueAlready,
    NoneLies,
    NothingNamed,
    NotTheirs,
    NotWhereGoodsCome,
)
from inventory.activities.lots import LotValues
from inventory.activities.opening import make_lots
from inventory.activities.putting_away.moving_in import room_for
from inventory.activities.storing.refusals import YEARS, YearsAhead
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_rows
from inventory.ground.violations import named_violation
from inventory.ledger.moves import Move, some
from inventory.ledger.post import post
from inventory.models.balance import Balance
from inventory.models.consignment import ConsignedLot, Consignment
from inventory.models.lot import Condition, Lot, Owner
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import PostingKind
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier


@dataclass(frozen=True, slots=True)
class Consigned:
    """So many tyres that read alike, at a price for each; a mark of None was not looked for."""

    sku: Sku
    quantity: int
    price: Decimal
    date_code: str = ""
    mark: str | None = None
    condition: str = Condition.NEW


@dataclass(frozen=True, slots=True)
class Agreed:
    """A lot that lies here already, and the price of one tyre of it."""

    lot: Lot
    price: Decimal


def take(
    *,
    supplier: Supplier,
    tyres: Sequence[Consigned],
    place: Place,
    due_on: date,
    reference: str = "",
    currency: str = "GBP",
    note: str = "",
    they_fit: bool = False,
    by: User,
    at: datetime,
) -> Consignment:
    """Take goods in that stay the supplier's: nobody is promised them until they are bought in.

    ``they_fit``: somebody looked, whatever the room says. Raises NothingNamed, NoneAsked, NotWhole,
    TooMany, NotWhereGoodsCome, PlaceIsFull, DueAlready, YearsAhead, Faulty (a date code that
    cannot be read, a price of nought, words too long).
    """
    if not tyres:
        raise NothingNamed("sku")
    for one in tyres:
        some(one.quantity)
    if place.kind not in (PlaceKind.STORAGE, PlaceKind.GOODS_IN):
        raise NotWhereGoodsCome(place)
    said = {"reference": reference, "currency": currency, "note": note}
    with transaction.atomic(), named_violation():
        room_for(place, sum(one.quantity for one in tyres), they_fit=they_fit, field="place")
        row = _written(supplier, due_on, said, by=by, at=at)
        today = timezone.localtime(at).date()
        values = [_values(row, one, number, today) for number, one in enumerate(tyres, 1)]
        lots = make_lots(values, by=by, at=at)
        for lot, one in zip(lots, tyres, strict=True):
            _agreed(row, lot, one.quantity, one.price)
        moves = [Move(lot.pk, place.pk, t.quantity) for lot, t in zip(lots, tyres, strict=True)]
        post(kind=PostingKind.CONSIGN, lines=moves, by=by, at=at, document=row.number)
    return row


def agree(
    *,
    supplier: Supplier,
    lots: Sequence[Agreed],
    due_on: date,
    reference: str = "",
    currency: str = "GBP",
    note: str = "",
    by: User,
    at: datetime,
) -> Consignment:
    """Write down what is agreed of lots that lie here on consignment already; nothing moves.

    Raises NothingNamed, NotTheirs, AgreedAlready, NoneLies, DueAlready, YearsAhead, Faulty.
    """
    if not lots:
        raise NothingNamed("lot")
    said = {"reference": reference, "currency": currency, "note": note}
    with transaction.atomic(), named_violation():
        row = _written(supplier, due_on, said, by=by, at=at)
        locked = locked_rows(Lot.objects.all(), {one.lot.pk for one in lots})
        for one in lots:
            lot = locked[one.lot.pk]
            if lot.owner_supplier_id != supplier.pk:
                raise NotTheirs(lot, supplier)
            other = agreed_of(lot)
            if other is not None:
                raise AgreedAlready(lot, other.consignment.number)
            lies = Balance.objects.filter(lot=lot).aggregate(tyres=Sum("on_hand"))["tyres"]
            if not lies:
                raise NoneLies(lot)
            _agreed(row, lot, lies, one.price)
    return row


def _written(
    supplier: Supplier, due_on: date, said: dict[str, str], *, by: User, at: datetime
) -> Consignment:
    today = timezone.localtime(at).date()
    if due_on < today:
        raise DueAlready(due_on)
    if due_on.year > today.year + YEARS:
        raise YearsAhead(due_on)
    row = Consignment(supplier=supplier, due_on=due_on, taken_at=at, taken_by=by, **said)
    refuse_faulty(row, [*said, "due_on"])
    row.save(force_insert=True)
    return row


def _agreed(row: Consignment, lot: Lot, quantity: int, price: Decimal) -> None:
    part = ConsignedLot(consignment=row, lot=lot, quantity=quantity, price=price)
    refuse_faulty(part, ["price"])
    part.save(force_insert=True)


def _values(row: Consignment, one: Consigned, number: int, today: date) -> LotValues:
    values: LotValues = {
        "code": f"{row.number}.{number}",
        "sku": one.sku,
        "date_code": one.date_code,
        "delivery": row.number,
        "received_on": today,
        "currency": row.currency,
        "owner": Owner.SUPPLIER,
        "owner_supplier": row.supplier,
        "condition": one.condition,
    }
    if one.mark is not None:
        values["mark"] = one.mark
    return values
