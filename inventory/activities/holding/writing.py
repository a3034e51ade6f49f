"""The rows of a hold and its posting, for whoever has chosen the tyres under locks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities.holding.parts import Part
from inventory.activities.holding.refusals import AnothersCar, NotUntilThen
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.post import Move, post
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold, HoldLine
from inventory.models.posting import PostingKind
from inventory.models.preorder import PreOrder
from inventory.models.sale import OrderLine

MOST_DAYS = 366


@dataclass(frozen=True, slots=True, kw_only=True)
class Purpose:
    """For whom something is held, until when or for which order line, and what was said of it."""

    customer: Customer
    what: str
    car: CustomerCar | None = None
    why: str = ""
    until: datetime | None = None
    order_line: OrderLine | None = None
    pinned: bool = False
    recipe: dict[str, Any] | None = None
    answer: Mapping[str, Any] = field(default_factory=dict)
    kept_for: PreOrder | None = None


def refuse_purpose(purpose: Purpose, *, at: datetime) -> None:
    """Raise AnothersCar, NotUntilThen for a purpose that is none."""
    refuse_car(purpose.car, purpose.customer)
    if purpose.order_line is None:
        refuse_time(purpose.until, at=at)


def refuse_car(car: CustomerCar | None, customer: Customer) -> None:
    """Raise AnothersCar where the car is not the customer's."""
    if car is not None and car.customer_id != customer.pk:
        raise AnothersCar(car, customer)


def refuse_time(until: datetime | None, *, at: datetime) -> None:
    """Raise NotUntilThen where a hold cannot run until then."""
    if until is None or until <= at or (until - at).days > MOST_DAYS:
        raise NotUntilThen(until or at, MOST_DAYS)


def write_hold(
    purpose: Purpose,
    tyres: Sequence[Part],
    companions: Sequence[Part] = (),
    *,
    by: User,
    at: datetime,
) -> Hold:
    """Hold these parts: the row, its lines, and the posting. Only tyres are pinned to their week.

    Raises Faulty, NotThatMany.
    """
    hold = Hold(
        customer=purpose.customer,
        car=purpose.car,
        what=purpose.what,
        why=purpose.why,
        recipe=purpose.recipe,
        answer=dict(purpose.answer),
        until=purpose.until,
        order_line=purpose.order_line,
        kept_for=purpose.kept_for,
        made_at=at,
        made_by=by,
    )
    refuse_faulty(hold, ["what", "why"])
    hold.save(force_insert=True)
    HoldLine.objects.bulk_create(
        [
            *(_line(hold, part, pinned=purpose.pinned) for part in tyres),
            *(_line(hold, part, pinned=False) for part in companions),
        ]
    )
    total: Counter[tuple[int, int]] = Counter()
    for part in (*tyres, *companions):
        total[part.lot_id, part.place_id] += part.quantity
    moves = [Move(*pair, 0, quantity) for pair, quantity in total.items()]
    post(kind=PostingKind.HOLD, lines=moves, by=by, at=at, document=hold.number)
    return hold


def _line(hold: Hold, part: Part, *, pinned: bool) -> HoldLine:
    return HoldLine(
        hold=hold,
        lot_id=part.lot_id,
        place_id=part.place_id,
        quantity=part.quantity,
        for_place=part.for_place,
        pinned=pinned,
    )
