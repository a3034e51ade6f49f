"""What the demo's customers were promised: held, quoted, ordered, picked, sent, and sent back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inventory.activities import cataloguing, holding, ordering, preordering, quoting
from inventory.activities.ordering import AskSets, Deposit
from inventory.availability import Need
from inventory.ground.refusal import Refusal
from inventory.models.customer import Customer, CustomerCar, CustomerKind
from inventory.models.expected import ExpectedDelivery
from inventory.models.hold import Hold
from inventory.models.preorder import IfShort
from inventory.models.sale import Order
from inventory.models.sku import Sku
from inventory.sets import Recipe, RecipePlace
from stockist.counter.wording import title_of
from stockist.customers.asking import WHEELS, address_of, variants_of
from stockist.demo.sending import (
    being_picked,
    sent_and_complained_of,
    sent_on_the_owners_word,
)
from stockist.selling.asked import SetAsked, first_in_stock
from stockist.selling.taking import end_of

# Whose cars; the Linnet's tyres are left on the shelf for the three questions.
LEFT_ALONE = "Linnet 1.4 saloon, grey"
# Older than the house lets go unasked, and nothing newer is made in this size.
OVER_AGE, FOR_WHICH = "OKE-LYD-52516", "A special, built on nothing that is listed"
THE_WORD = (
    "He has seen them and knows how old they are: for moving the car about the yard while the "
    "body is built, not for the road."
)


@dataclass(frozen=True, slots=True)
class Wish:
    """A customer's car, and the best set that is here for it."""

    car: CustomerCar
    asked: SetAsked


def promises(*, at: datetime) -> str:
    """Make them, once; what was done, in words."""
    if Order.objects.exists() or Hold.objects.exists():
        return "there already"
    with transaction.atomic():
        counter = User.objects.get(username="counter")
        _prices(at)
        wishes = _wishes(at)
        held = [_hold(next(wishes), days, counter, at) for days in (1, 3)]
        longer = end_of(timezone.localdate(at) + timedelta(days=6))
        why = "his mechanic is away until then"
        holding.extend(hold=held[1], until=longer, why=why, by=counter, at=at)
        _quote(next(wishes), counter, at)
        orders = [_order(next(wishes), counter, at) for _ in range(4)]
        being_picked(orders[1], at=at)
        sent_and_complained_of(orders[2], returned=False, at=at)
        sent_and_complained_of(orders[3], returned=True, at=at)
        aged = _over_age(counter, at)
        sent_on_the_owners_word(aged, why=THE_WORD, at=at)
        waits = _queue(counter, at)
    return (
        f"{len(held)} holds, a quote, {len(orders) + 1} orders: one waits, one is being picked, "
        f"one left, one on the owner's word, one came back in part; {waits} in the queue"
    )


def _prices(at: datetime) -> None:
    owner: dict[str, Any] = {"by": User.objects.get(username="owner"), "at": at}
    trade = cataloguing.make_price_class(
        code="TRADE", name="trade", percent_off=Decimal("12.5"), **owner
    )
    cataloguing.make_age_step(from_months=48, percent_off=Decimal("10"), **owner)
    for customer in Customer.objects.filter(kind=CustomerKind.TRADE).order_by("pk"):
        cataloguing.change_customer(customer=customer, price_class=trade, **owner)


def _wishes(at: datetime) -> Iterator[Wish]:
    """Cars of customers that a whole set is here for, in the order in which they were entered."""
    cars = list(CustomerCar.objects.select_related("customer").prefetch_related(WHEELS).order_by(
        "pk"
    ))  # fmt: skip
    known = variants_of(cars)
    for car in cars:
        if car.description == LEFT_ALONE or car.pk not in known:
            continue
        address = address_of(car, list(car.wheels.all()), known[car.pk])
        asked = first_in_stock(address, at=at)
        if asked is not None:
            yield Wish(car, asked)


def _hold(wish: Wish, days: int, by: User, at: datetime) -> Hold:
    (made,) = holding.hold_sets(
        customer=wish.car.customer,
        car=wish.car,
        need=wish.asked.need,
        what=wish.asked.what,
        said=wish.asked.said,
        until=end_of(timezone.localdate(at) + timedelta(days=days)),
        why="rings back",
        by=by,
        at=at,
    )
    return made


def _quote(wish: Wish, by: User, at: datetime) -> None:
    quoting.give_quote(
        customer=wish.car.customer,
        car=wish.car,
        need=wish.asked.need,
        what=wish.asked.what,
        said=wish.asked.said,
        good_until=timezone.localdate(at) + timedelta(days=14),
        by=by,
        at=at,
    )


def _order(wish: Wish, by: User, at: datetime) -> Order:
    ask = AskSets(need=wish.asked.need, what=wish.asked.what, said=wish.asked.said)
    return ordering.take_order(
        customer=wish.car.customer,
        car=wish.car,
        asks=[ask],
        wanted_on=timezone.localdate(at) + timedelta(days=5),
        deliver_to=f"{wish.car.customer}\nThe Yard, Fenwold",
        deposit=Deposit(Decimal("50.00"), "GBP", f"card, slip {wish.car.pk:03}"),
        by=by,
        at=at,
    )


def _over_age(by: User, at: datetime) -> Order:
    """Four alike, years too old, for a car that is not driven on the road yet."""
    car = CustomerCar.objects.select_related("customer").get(description=FOR_WHICH)
    sku = Sku.objects.with_names().get(code=OVER_AGE)
    ask = AskSets(need=Need(None, _four(sku.pk)), what=f"4 × {title_of(sku)}")
    return ordering.take_order(
        customer=car.customer,
        car=car,
        asks=[ask],
        wanted_on=timezone.localdate(at) + timedelta(days=2),
        note="Told at the counter how old they are, and wants them all the same.",
        by=by,
        at=at,
    )


def _four(sku: int) -> Recipe:
    return Recipe((RecipePlace("front", (sku,), 2), RecipePlace("rear", (sku,), 2)))


def _queue(by: User, at: datetime) -> int:
    """Two customers wait for four of what comes next, as far as there are so many."""
    made = 0
    rows = ExpectedDelivery.objects.still_to_come().filter(
        quantity__gte=8, sku__kind="tyre", expected_on__gt=timezone.localdate(at)
    )
    first = (
        rows.select_related("sku__maker", "sku__pattern", "sku__compound")
        .order_by("expected_on", "pk")
        .first()
    )
    if first is None:
        return 0
    four = _four(first.sku_id)
    for customer in Customer.objects.filter(kind=CustomerKind.RACING).order_by("pk")[:2]:
        try:
            preordering.queue(
                customer=customer,
                need=Need(None, four),
                what=f"4 × {title_of(first.sku)}",
                promised_on=first.expected_on,
                if_short=IfShort.WAIT,
                by=by,
                at=at,
            )
        except Refusal:
            break
        made += 1
    return made
