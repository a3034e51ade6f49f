"""An order is taken: its head, its lines, and what is held for them, all of it or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max

from inventory.activities import answers
from inventory.activities.holding.choosing import asked_skus
from inventory.activities.holding.ending import standing
from inventory.activities.holding.making import refuse_sets
from inventory.activities.holding.refusals import IsForAnOrder
from inventory.activities.holding.writing import refuse_car
from inventory.activities.ordering.asks import (
    Ask,
    AskHold,
    AskPieces,
    AskQuote,
    AskSets,
    Deposit,
    Holding,
)
from inventory.activities.ordering.converting import add_hold, add_quote
from inventory.activities.ordering.filling import add_pieces, add_sets
from inventory.activities.ordering.heads import HEAD, set_deposit
from inventory.activities.ordering.refusals import (
    AnothersHold,
    AnothersQuote,
    MoreThanQuoted,
    NamedTwice,
    NothingOrdered,
)
from inventory.activities.ordering.told import refuse_lost
from inventory.activities.ordering.writing import Taking
from inventory.activities.picking.inhand import locked_order
from inventory.activities.quoting.withdrawing import locked_quote, refuse_run_out
from inventory.availability import Need
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.violations import named_violation
from inventory.ledger.lapse import lock_shelf
from inventory.ledger.moves import some
from inventory.models.customer import Customer, CustomerCar
from inventory.models.hold import Hold
from inventory.models.quote import Quote
from inventory.models.sale import Order, OrderLine
from inventory.promising import held_from, refuse_withdrawn


def take_order(
    *,
    customer: Customer,
    asks: Sequence[Ask],
    car: CustomerCar | None = None,
    reference: str = "",
    wanted_on: date | None = None,
    deliver_to: str = "",
    note: str = "",
    deposit: Deposit | None = None,
    holding: Holding = Holding.ALL,
    knowing: bool = False,
    by: User,
    at: datetime,
) -> Order:
    """Take an order: sets and pieces with what goes with them, what is held, what was quoted.

    ``holding``: all of it has to be held, what there is, or nothing. Sets and pieces of another
    price, as of older stock, become lines of their own. ``knowing``: the customer was told that an
    approval was withdrawn since.

    Raises NothingOrdered, AnothersCar, Faulty, NotThatManySets, NoneAsked, NotWhole, TooMany,
    NoSet, NotAsShown, NotEnough, NamedTwice, AnothersHold, HoldHasEnded, HoldRanOut, IsForAnOrder,
    AnothersQuote, QuoteHasEnded, QuoteRanOut, MoreThanQuoted, NotApprovedAnyMore,
    ApprovalWithdrawn.
    """
    refuse_car(car, customer)
    order = Order(
        customer=customer,
        car=car,
        reference=reference,
        wanted_on=wanted_on,
        deliver_to=deliver_to,
        note=note,
        made_at=at,
        made_by=by,
    )
    set_deposit(order, deposit)
    refuse_faulty(order, HEAD)
    with transaction.atomic():
        known = held_from(at)
        with named_violation():
            order.save(force_insert=True)
        taking = Taking(order, Holding(holding), by, at)
        _add(taking, asks, known=None if knowing else known)
    return order


def add_lines(
    *,
    order: Order,
    asks: Sequence[Ask],
    holding: Holding = Holding.ALL,
    knowing: bool = False,
    by: User,
    at: datetime,
) -> list[OrderLine]:
    """Add to an order that is open. Raises OrderIsClosed, and what `take_order` does."""
    with transaction.atomic():
        known = held_from(at)
        locked = locked_order(order)
        last = locked.lines.aggregate(last=Max("position"))["last"] or 0
        taking = Taking(locked, Holding(holding), by, at, last)
        _add(taking, asks, known=None if knowing else known)
    return taking.lines


def _add(taking: Taking, asks: Sequence[Ask], *, known: datetime | None) -> None:
    """``known``: the moment at which approvals are looked at; None where the customer knows."""
    _look_over(asks)
    order, at = taking.order, taking.at
    quotes = _quotes(order, asks, at)
    keys = [ask.hold.pk for ask in asks if isinstance(ask, AskHold)]
    skus = set() if taking.holding is Holding.NOTHING else _skus(asks, quotes)
    holds = lock_shelf(skus, by=taking.by, at=at, holds=keys)
    for ask in asks:
        if isinstance(ask, AskHold):
            add_hold(taking, _mine(holds[ask.hold.pk], order, at))
        elif isinstance(ask, AskQuote):
            add_quote(taking, ask, quotes[ask.quote.pk])
        elif isinstance(ask, AskPieces):
            add_pieces(taking, ask)
        else:
            add_sets(taking, ask)
    if known is not None:
        refuse_lost(taking.told, at=known)
        refuse_withdrawn(taking.held, at=known, field="knowing")


def _look_over(asks: Sequence[Ask]) -> None:
    if not asks:
        raise NothingOrdered
    named: set[str] = set()
    for ask in asks:
        if isinstance(ask, AskSets):
            refuse_sets(ask.sets)
        elif isinstance(ask, AskPieces):
            some(ask.quantity)
        else:
            number = ask.hold.number if isinstance(ask, AskHold) else ask.quote.number
            if number in named:
                raise NamedTwice(number)
            named.add(number)


def _quotes(order: Order, asks: Sequence[Ask], at: datetime) -> dict[int, Quote]:
    """The quotes that are taken up, locked in the order of their keys."""
    asked = [ask for ask in asks if isinstance(ask, AskQuote)]
    found = {}
    for ask in sorted(asked, key=lambda one: one.quote.pk):
        quote = locked_quote(ask.quote)
        if quote.customer_id != order.customer_id:
            raise AnothersQuote(quote, order.customer)
        refuse_run_out(quote, at=at)
        if refuse_sets(ask.sets if ask.sets is not None else quote.sets) > quote.sets:
            raise MoreThanQuoted(quote, ask.sets or 0)
        found[quote.pk] = quote
    return found


def _skus(asks: Sequence[Ask], quotes: dict[int, Quote]) -> set[int]:
    needs: list[Need] = [ask.need for ask in asks if isinstance(ask, AskSets)]
    needs += [answers.need_of(quote.recipe, quote.answer) for quote in quotes.values()]
    return asked_skus(needs) | {ask.sku.pk for ask in asks if isinstance(ask, AskPieces)}


def _mine(hold: Hold, order: Order, at: datetime) -> Hold:
    """The locked hold, if it stands and is this customer's to order."""
    standing(hold, at=at)
    if hold.customer_id != order.customer_id:
        raise AnothersHold(hold, order.customer)
    if hold.order_line is not None:
        raise IsForAnOrder(hold)
    return hold
