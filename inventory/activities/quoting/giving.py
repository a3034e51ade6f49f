"""A quote is given: the answer of the shelf, the price for this customer, until when."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from inventory.activities import answers, recipes
from inventory.activities.holding.making import refuse_sets
from inventory.activities.holding.writing import refuse_car
from inventory.activities.prices import list_price, price_of, terms_of
from inventory.activities.quoting.pricing import parts_to_price
from inventory.activities.quoting.refusals import NotGoodUntilThen
from inventory.availability import Need, SetAnswer, promises
from inventory.availability.charging import Charge
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.models.customer import Customer, CustomerCar
from inventory.models.quote import Quote

MOST_DAYS = 366


def give_quote(
    *,
    customer: Customer,
    need: Need,
    what: str,
    good_until: date,
    sets: int = 1,
    car: CustomerCar | None = None,
    said: Mapping[str, Any] | None = None,
    note: str = "",
    by: User,
    at: datetime,
) -> Quote:
    """Offer so many sets at the price of today's best one. Nothing is held by it.

    A set that is not there now is quoted by the list. What was asked, answered and said is frozen
    with it. Raises NotThatManySets, AnothersCar, NotGoodUntilThen, Faulty.
    """
    refuse_sets(sets)
    refuse_car(car, customer)
    today = timezone.localtime(at).date()
    if not 0 <= (good_until - today).days <= MOST_DAYS:
        raise NotGoodUntilThen(good_until, MOST_DAYS)
    (answer,) = promises([need], at=at)
    price = _price(customer, need, answer, at=at, on=today)
    quote = Quote(
        customer=customer,
        car=car,
        what=what,
        sets=sets,
        price=price.amount,
        currency=price.currency,
        price_words=price.words,
        good_until=good_until,
        recipe=recipes.kept(need.recipe),
        answer=answers.frozen(said or {}, need, answer),
        note=note,
        made_at=at,
        made_by=by,
    )
    refuse_faulty(quote, ["what", "note"])
    with named_violation():
        quote.save(force_insert=True)
    return quote


def _price(customer: Customer, need: Need, answer: SetAnswer, *, at: datetime, on: date) -> Charge:
    terms = terms_of(customer)
    parts = parts_to_price(need, answer, at=at)
    return price_of(parts, terms, on=on) if parts else list_price(answer.price, terms, on=on)
