"""A delivery booked as a whole: lots, stock, order, complaints, and whoever waited for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.preordering import Turn, serve
from inventory.activities.purchasing import locking
from inventory.activities.purchasing.expecting import follow
from inventory.activities.purchasing.refusals import ChangedSince, OrderHasEnded
from inventory.activities.receiving.complaining import complaints_of
from inventory.activities.receiving.firsts import no_longer_announced
from inventory.activities.receiving.inhand import in_hand
from inventory.activities.receiving.lines import agreed_with, judge_line
from inventory.activities.receiving.refusals import NothingRead, NotWaitedFor, OrderChanged
from inventory.activities.receiving.sharing import Came, Share, shared
from inventory.activities.receiving.stocking import batches, stocked
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryState
from inventory.models.expected import ExpectedDelivery
from inventory.models.purchase import OPEN, PurchaseLine, PurchaseOrder
from inventory.models.supplier_complaint import SupplierComplaint


@dataclass(frozen=True, slots=True)
class Arrival:
    """So many of what was expected that were kept, and are free to serve whoever waits for them.

    ``expected`` is the row that pre-orders count on: as it is now, with what is still to come.
    """

    expected: ExpectedDelivery
    quantity: int


@dataclass(frozen=True, slots=True)
class Received:
    """What came of a delivery: tyres kept and put aside, and the complaints that follow.

    ``arrivals`` is what was expected and kept; ``turn`` who was served with it, in the order of the
    queue.
    """

    delivery: Delivery
    kept: int
    put_aside: int
    complaints: tuple[SupplierComplaint, ...]
    arrivals: tuple[Arrival, ...]
    turn: Turn


def finish(*, delivery: Delivery, seen: int | None = None, by: User, at: datetime) -> Received:
    """Book a delivery in, all of it at once.

    What is right goes to goods in and fills the order, first come first served; what disagrees, is
    over or is short goes to quarantine or is missed, and becomes a complaint. ``seen`` is the
    version of the order that the person looked at. Raises BookedAlready, InOtherHands, NothingRead,
    NotWaitedFor, OrderChanged.
    """
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        order = _order(held, seen)
        by_sku = _order_lines(order)
        lines = _lines(held, by_sku)
        if not lines:
            raise NothingRead
        came = [Came(one.pk, one.order_line_id, one.quantity, not one.disagrees) for one in lines]
        shares, left = shared(came, {one.pk: one.to_come for one in by_sku.values()})
        booked = batches(held, lines, shares)
        held.posting = stocked(held, booked, by=by, at=at)
        _keep_lines(lines, shares)
        found = complaints_of(held, booked, lines, by_sku, left, by=by, at=at)
        arrivals: list[Arrival] = []
        if order is not None:
            arrivals = _fill(by_sku.values(), shares, lines, found, by=by, at=at)
            locking.changed(order, by=by, at=at)
        no_longer_announced(booked, by=by, at=at)
        held.state, held.ended_at, held.ended_by = DeliveryState.BOOKED, at, by
        held.save(update_fields=["posting", "state", "ended_at", "ended_by"])
        turn = _turn(arrivals, by=by, at=at)
    kept = sum(batch.quantity for batch in booked if not batch.wrong)
    put_aside = sum(batch.quantity for batch in booked if batch.wrong)
    return Received(held, kept, put_aside, tuple(found), tuple(arrivals), turn)


def _turn(arrivals: Sequence[Arrival], *, by: User, at: datetime) -> Turn:
    """Whoever waited for what has come is served before anybody else can have it."""
    if not arrivals:
        return Turn()
    return serve(expected=[one.expected.pk for one in arrivals], by=by, at=at)


def _order(delivery: Delivery, seen: int | None) -> PurchaseOrder | None:
    if delivery.order is None:
        return None
    try:
        order = locking.locked(delivery.order, seen=seen)
    except ChangedSince:
        raise OrderChanged(delivery.order) from None
    except OrderHasEnded:
        delivery.order.refresh_from_db()
        raise NotWaitedFor(delivery.order) from None
    if order.state not in OPEN:
        raise NotWaitedFor(order)
    return order


def _order_lines(order: PurchaseOrder | None) -> dict[int, PurchaseLine]:
    """The lines of a locked order by SKU."""
    if order is None:
        return {}
    lines = list(order.lines.select_related("expected").order_by("pk"))
    for line in lines:
        line.order = order
    return {line.sku_id: line for line in lines}


def _lines(delivery: Delivery, by_sku: Mapping[int, PurchaseLine]) -> list[DeliveryLine]:
    """The lines in the order read, each judged again by the order as it is now."""
    lines = list(delivery.lines.select_related("sku").order_by("pk"))
    order_lines = {line.sku_id: by_sku.get(line.sku_id) for line in lines}
    agreed = agreed_with(delivery.supplier, order_lines)
    for line in lines:
        line.delivery, line.order_line = delivery, order_lines[line.sku_id]
        judged = judge_line(line, agreed[line.sku_id])
        line.disagrees, line.says = judged.disagrees, judged.says[:500]
    return lines


def _keep_lines(lines: Sequence[DeliveryLine], shares: Mapping[int, Share]) -> None:
    for line in lines:
        line.over = shares[line.pk].over
    names = ["order_line", "disagrees", "says", "over", "lot", "over_lot"]
    DeliveryLine.objects.bulk_update(lines, names)


def _fill(
    order_lines: Iterable[PurchaseLine],
    shares: Mapping[int, Share],
    lines: Sequence[DeliveryLine],
    found: Sequence[SupplierComplaint],
    *,
    by: User,
    at: datetime,
) -> list[Arrival]:
    """Count what came on the order lines; what of the expected has arrived."""
    arrivals = []
    kept, doubted = Counter[int](), Counter[int]()
    for line in lines:
        if line.order_line_id is not None:
            kept[line.order_line_id] += shares[line.pk].kept
    for complaint in found:
        if complaint.order_line_id is not None:
            doubted[complaint.order_line_id] += complaint.disputes
    for order_line in order_lines:
        order_line.received += kept[order_line.pk]
        order_line.disputed += doubted[order_line.pk]
        order_line.save(update_fields=["received", "disputed"])
        expected = order_line.expected
        follow(order_line, by=by, at=at)
        if expected is not None and kept[order_line.pk]:
            arrivals.append(Arrival(expected, kept[order_line.pk]))
    return arrivals
