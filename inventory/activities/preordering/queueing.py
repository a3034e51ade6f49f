"""Somebody is queued for a set that is to come, or gives up their place."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities import answers, recipes
from inventory.activities.holding.writing import refuse_car
from inventory.activities.ordering.changing import locked_line
from inventory.activities.ordering.standing import standing_of
from inventory.activities.preordering.keeping import let_kept_go
from inventory.activities.preordering.planning import Expectations, Plan, plan
from inventory.activities.preordering.refusals import (
    HeldAlready,
    NotTheSet,
    NotToCome,
    NotWaiting,
    SayWhyWithdrawn,
    SoonerThanExpected,
    WaitedForAlready,
)
from inventory.availability import Need
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row, locked_rows
from inventory.ground.violations import named_violation
from inventory.ledger.moves import some
from inventory.models.customer import Customer, CustomerCar
from inventory.models.expected import ExpectedDelivery, ExpectedState
from inventory.models.preorder import IfShort, PreOrder, PreOrderLine, PreOrderState
from inventory.models.sale import OrderLine


def queue(
    *,
    customer: Customer,
    need: Need,
    what: str,
    promised_on: date,
    if_short: IfShort | str,
    counts_on: Mapping[int, int] | None = None,
    car: CustomerCar | None = None,
    order_line: OrderLine | None = None,
    said: Mapping[str, Any] | None = None,
    note: str = "",
    by: User,
    at: datetime,
) -> PreOrder:
    """Queue a customer for one set of what is expected; who asks first is served first.

    ``counts_on`` is tyres by key of the expected delivery; without it the soonest that will do.
    ``if_short`` says what becomes of them where the batch does not go round. For an order line the
    tyres become the order's when they come.

    Raises AnothersCar, OrderIsClosed, LineIsCancelled, HeldAlready, NothingToCountOn, NotToCome,
    WaitedForAlready, NotTheSet, SoonerThanExpected, NoneAsked, NotWhole, Faulty.
    """
    refuse_car(car, customer)
    with transaction.atomic():
        line = _wanting(order_line) if order_line is not None else None
        planned = plan(need, at=at) if counts_on is None else _named(need, counts_on)
        day = _locked_day(planned.counts_on)
        if promised_on < day:
            raise SoonerThanExpected(day)
        queued = PreOrder(
            customer=customer,
            car=car,
            what=what,
            recipe=recipes.kept(need.recipe),
            answer=answers.frozen(said or {}, need),
            order_line=line,
            promised_on=promised_on,
            if_short=if_short,
            note=note,
            queued_at=at,
            queued_by=by,
        )
        return _written(queued, planned)


def _written(queued: PreOrder, planned: Plan) -> PreOrder:
    refuse_faulty(queued, ["what", "note", "if_short"])
    with named_violation():
        queued.save(force_insert=True)
        PreOrderLine.objects.bulk_create(
            PreOrderLine(pre_order=queued, expected_id=key, quantity=quantity)
            for key, quantity in sorted(planned.counts_on.items())
        )
    return queued


def withdraw(*, pre_order: PreOrder, why: str, by: User, at: datetime) -> PreOrder:
    """Give up a place in the queue. Raises SayWhyWithdrawn, NotWaiting, Faulty."""
    if not why.strip():
        raise SayWhyWithdrawn
    with transaction.atomic():
        held = locked_row(PreOrder.objects.all(), pre_order.pk)
        if held.state != PreOrderState.WAITING:
            raise NotWaiting(held)
        return end_waiting(held, PreOrderState.WITHDRAWN, why=why, by=by, at=at)


def end_waiting(
    pre_order: PreOrder, state: PreOrderState, *, why: str, by: User, at: datetime
) -> PreOrder:
    """End a pre-order that is locked and waits; one that was served has its hold already.

    What was kept of the set until the rest came is free again.
    """
    let_kept_go(pre_order, why=f"{pre_order.number} waits no more", by=by, at=at)
    pre_order.state, pre_order.ended_at, pre_order.ended_by = state, at, by
    pre_order.ended_why = why.strip()
    refuse_faulty(pre_order, ["ended_why"])
    pre_order.save(update_fields=["state", "ended_at", "ended_by", "ended_why", "hold"])
    return pre_order


def _wanting(order_line: OrderLine) -> OrderLine:
    """The locked line, if something is still to be held for it that nobody waits for."""
    line = locked_line(order_line)
    (stands,) = standing_of([line])
    if stands.to_hold <= PreOrder.objects.waiting().filter(order_line=line).count():
        raise HeldAlready(line)
    return line


def _named(need: Need, counts_on: Mapping[int, int]) -> Plan:
    """The deliveries that were named, if they have the tyres of one set."""
    for quantity in counts_on.values():
        some(quantity)
    skus = {int(sku) for place in need.recipe.places for sku in need.recipe.skus_at(place)}
    known = ExpectedDelivery.objects.filter(pk__in=counts_on, sku__in=skus).order_by("pk")
    named = sum(counts_on[key] for key in known.values_list("pk", flat=True))
    if named != need.recipe.tyres or sum(counts_on.values()) != named:
        raise NotTheSet(need.recipe.tyres, named)
    return Plan(dict(counts_on), date.min)


def _locked_day(counts_on: Mapping[int, int]) -> date:
    """The day on which all of it is due, the deliveries locked: each has room for what is asked."""
    rows = locked_rows(ExpectedDelivery.objects.select_related("sku"), list(counts_on))
    for row in rows.values():
        if row.state != ExpectedState.EXPECTED:
            raise NotToCome(row)
    known = Expectations.of(rows.values())
    for key, quantity in sorted(counts_on.items()):
        if quantity > known.room[key]:
            raise WaitedForAlready(rows[key], max(known.room[key], 0), quantity)
    return max(row.expected_on for row in rows.values())
