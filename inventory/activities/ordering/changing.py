"""An order line is for more or fewer than before; what is still missing of it is held."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities import answers
from inventory.activities.holding.choosing import asked_skus, choose_pieces, choose_set
from inventory.activities.holding.making import hold_chosen, refuse_sets
from inventory.activities.holding.refusals import NoSet, NotEnough
from inventory.activities.holding.writing import write_hold
from inventory.activities.ordering.asks import Holding
from inventory.activities.ordering.filling import purpose_of
from inventory.activities.ordering.letting_go import let_go
from inventory.activities.ordering.refusals import AllIsHeld, LessThanSent, LineIsCancelled
from inventory.activities.ordering.standing import standing_of
from inventory.activities.picking.inhand import locked_order
from inventory.ground.entries.alone import refuse_faulty
from inventory.ledger.lapse import lock_shelf
from inventory.ledger.moves import some
from inventory.models.hold import Hold
from inventory.models.sale import Asks, OrderLine
from inventory.promising import held_from, refuse_withdrawn


def change_line(
    *,
    line: OrderLine,
    quantity: int,
    holding: Holding = Holding.ALL,
    by: User,
    at: datetime,
) -> OrderLine:
    """Let a line be for so many sets or pieces; its price for each stays.

    What it is for more is held as far as is asked; of fewer, the youngest holds are let go. Raises
    OrderIsClosed, LineIsCancelled, NotThatManySets, NoneAsked, NotWhole, TooMany, LessThanSent,
    IsBeingPicked, NoSet, NotEnough, ApprovalWithdrawn.
    """
    if line.asks == Asks.SETS:
        refuse_sets(quantity)
    else:
        some(quantity)
    with transaction.atomic():
        known = held_from(at)
        held = locked_line(line)
        if quantity < held.sent:
            raise LessThanSent(held, quantity)
        more, held.quantity = quantity - held.quantity, quantity
        refuse_faulty(held, ["quantity"])
        held.save(update_fields=["quantity"])
        (stands,) = standing_of([held])
        too_many = stands.held - (quantity - held.sent)
        if too_many > 0:
            why = f"line {held.position} of {held.order.number} is for {quantity} now"
            let_go(held, too_many, why=why, by=by, at=at)
        elif more > 0 and stands.to_hold and holding != Holding.NOTHING:
            all_of_it = holding == Holding.ALL
            with suppress(*(() if all_of_it else (NoSet, NotEnough))):
                made = _hold(held, min(more, stands.to_hold), all_of_it=all_of_it, by=by, at=at)
                refuse_withdrawn(made, at=known)
    return held


def hold_line(*, line: OrderLine, by: User, at: datetime) -> tuple[Hold, ...]:
    """Hold what is still missing of a line, as much as there is.

    Raises OrderIsClosed, LineIsCancelled, AllIsHeld; NoSet or NotEnough where nothing can be had.
    """
    with transaction.atomic():
        held = locked_line(line)
        (stands,) = standing_of([held])
        if not stands.to_hold:
            raise AllIsHeld(held)
        return _hold(held, stands.to_hold, all_of_it=False, by=by, at=at)


def locked_line(line: OrderLine) -> OrderLine:
    """A line of an open order, its order locked. Raises OrderIsClosed, LineIsCancelled."""
    told = OrderLine.objects.only("order_id").get(pk=line.pk)
    order = locked_order(told.order)
    held = OrderLine.objects.select_related("sku").get(pk=line.pk)
    held.order = order
    if held.cancelled:
        raise LineIsCancelled(held)
    return held


def _hold(
    line: OrderLine, count: int, *, all_of_it: bool, by: User, at: datetime
) -> tuple[Hold, ...]:
    if line.asks == Asks.SETS:
        made = _hold_sets(line, count, all_of_it=all_of_it, by=by, at=at)
    else:
        made = _hold_pieces(line, count, all_of_it=all_of_it, by=by, at=at)
    return tuple(made)


def _hold_sets(
    line: OrderLine, count: int, *, all_of_it: bool, by: User, at: datetime
) -> list[Hold]:
    need = answers.need_of(line.recipe or {}, line.answer)
    said = answers.said_of(line.answer)
    lock_shelf(asked_skus([need]), by=by, at=at)
    made: list[Hold] = []
    for number in range(count):
        try:
            chosen = choose_set(need, shown=None, other_choice=True, at=at)
        except NoSet as refused:
            if all_of_it or not made:
                raise NoSet(refused.reason, found=number, asked=count) from None
            break
        made.append(hold_chosen(purpose_of(line), need, chosen, said, by=by, at=at))
    return made


def _hold_pieces(
    line: OrderLine, count: int, *, all_of_it: bool, by: User, at: datetime
) -> list[Hold]:
    sku = line.sku
    assert sku is not None  # noqa: S101 - the database holds it so for pieces
    lock_shelf([sku.pk], by=by, at=at)
    try:
        parts = choose_pieces(sku, count, site_id=None, shown=None, other_choice=True, at=at)
    except NotEnough as refused:
        if all_of_it or not refused.free:
            raise
        free = refused.free
        parts = choose_pieces(sku, free, site_id=None, shown=None, other_choice=True, at=at)
    return [write_hold(purpose_of(line, answer=line.answer), parts, by=by, at=at)]
