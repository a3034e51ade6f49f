"""A pick list in hand: its order, the list and its holds locked, in that order."""

from __future__ import annotations

from collections.abc import Collection

from inventory.activities.picking.refusals import (
    HoldIsOver,
    LineIsDone,
    LineOfAnotherList,
    ListHasEnded,
    NotAtThisStep,
    OrderIsClosed,
)
from inventory.ground.locking import locked_row, locked_rows
from inventory.models.hold import Hold, HoldState
from inventory.models.pick import PickLine, PickLineState, PickList, PickListState
from inventory.models.sale import Order, OrderState

PICKING = (PickListState.OPEN, PickListState.PICKED)
UNDER_WAY = (*PICKING, PickListState.PACKED)


def locked_order(order: Order) -> Order:
    """The order as it is now, and stays until the transaction ends. Raises OrderIsClosed."""
    held = locked_row(Order.objects.all(), order.pk)
    if held.state != OrderState.OPEN:
        raise OrderIsClosed(held)
    return held


def locked(listed: PickList, *, at_step: Collection[str], wanted: str) -> PickList:
    """The list as it is now, its order locked before it.

    `wanted` says what step was needed, for the sentence. Raises OrderIsClosed, ListHasEnded,
    NotAtThisStep.
    """
    told = PickList.objects.only("order_id").get(pk=listed.pk)
    # A closed order's list has ended too, and the list says it better.
    order = locked_row(Order.objects.all(), told.order_id)
    rows = PickList.objects.select_related("to_place__site", "ended_by", "word_by")
    held = locked_row(rows, listed.pk)
    held.order = order
    if held.state in (PickListState.SENT, PickListState.CANCELLED):
        raise ListHasEnded(held)
    if order.state != OrderState.OPEN:
        raise OrderIsClosed(order)
    if held.state not in at_step:
        raise NotAtThisStep(held, wanted)
    return held


def open_line(listed: PickList, line: PickLine) -> PickLine:
    """A line that is still to be picked, of a locked list. Raises LineOfAnotherList, LineIsDone."""
    rows = PickLine.objects.select_related("lot__sku", "place__site", "picked_by", "hold")
    found = rows.filter(pk=line.pk, pick_list=listed).first()
    if found is None:
        raise LineOfAnotherList(listed)
    if found.state != PickLineState.OPEN:
        raise LineIsDone(found)
    return found


def locked_holds(holds: Collection[int]) -> dict[int, Hold]:
    """The holds of these keys, locked by key; whatever state they are in."""
    return locked_rows(Hold.objects.select_related("order_line"), holds)


def open_hold(line: PickLine) -> Hold:
    """The hold of a line, locked. Raises HoldIsOver."""
    hold = locked_holds([line.hold_id])[line.hold_id]
    if hold.state != HoldState.OPEN:
        raise HoldIsOver(hold)
    return hold


def numbered(line: PickLine) -> str:
    """The document that the ledger is told of: the list's number."""
    return line.pick_list.number
