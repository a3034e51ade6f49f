"""Goods leave: asked about, booked out, frozen as they were known, counted on their order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.despatching.asking import Leaving, about, holds_on, is_covered, leaving
from inventory.activities.despatching.freezing import known_of, known_of_all
from inventory.activities.despatching.refusals import (
    BeyondTheOrder,
    LineWasCancelled,
    MustStay,
    NeedsAWord,
)
from inventory.activities.picking.inhand import locked, locked_holds
from inventory.activities.picking.refusals import HoldIsOver
from inventory.activities.picking.taking import refuse_blocked
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.numbering import next_number
from inventory.ground.violations import named_violation
from inventory.ledger.post import Move, post
from inventory.models.despatch import Despatch, DespatchLine
from inventory.models.hold import Hold, HoldState
from inventory.models.pick import PickList, PickListState
from inventory.models.posting import Posting, PostingKind
from inventory.models.sale import Asks, Order, OrderLine, OrderState
from inventory.release import May

ALL_HAS_LEFT = "all of it has left"


def despatch(*, pick_list: PickList, carrier: str = "", by: User, at: datetime) -> Despatch:
    """Send a packed list: its tyres leave the books, and what was known of them is written down.

    Asks for a release first. Raises OrderIsClosed, ListHasEnded, NotAtThisStep, HoldIsOver,
    LotIsBlocked, NotGathered, NobodyReleases, LineWasCancelled, MustStay, NeedsAWord,
    BeyondTheOrder, Faulty.
    """
    with transaction.atomic():
        wanted = "only a packed list can be sent"
        listed = locked(pick_list, at_step=(PickListState.PACKED,), wanted=wanted)
        holds = _standing(listed)
        sets = leaving(listed, at=at)
        refuse_blocked([line.lot for one in sets for line in one.lines])
        _refuse_cancelled(sets)
        _refuse_against_advice(listed, sets)
        sent = _written(listed, sets, carrier, by=by, at=at)
        for hold in holds:
            hold.state, hold.ended_at, hold.ended_by = HoldState.SENT, at, by
            hold.ended_why = f"left with {sent.number}"
            hold.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
        _count(listed.order, sets, by=by, at=at)
        listed.state, listed.ended_at, listed.ended_by = PickListState.SENT, at, by
        listed.save(update_fields=["state", "ended_at", "ended_by"])
    return sent


def _standing(listed: PickList) -> list[Hold]:
    holds = locked_holds(holds_on(listed)).values()
    for hold in holds:
        if hold.state != HoldState.OPEN:
            raise HoldIsOver(hold)
    return list(holds)


def _refuse_cancelled(sets: Sequence[Leaving]) -> None:
    words = [one.hold.what for one in sets if one.order_line.cancelled]
    if words:
        raise LineWasCancelled(words)


def _refuse_against_advice(listed: PickList, sets: Sequence[Leaving]) -> None:
    stay = [words for one in sets if one.release.may is May.STAY for words in one.against]
    if stay:
        raise MustStay(stay)
    if not is_covered(listed, about(sets)):
        against = [one for one in sets if one.release.may is May.WITH_A_WORD]
        raise NeedsAWord(listed, [words for one in against for words in one.against])


def _book_out(sent: Despatch, sets: Sequence[Leaving], *, by: User, at: datetime) -> Posting:
    total: Counter[tuple[int, int]] = Counter()
    for one in sets:
        for line in one.lines:
            total[line.lot_id, line.place_id] += line.quantity
    moves = [Move(*key, -quantity, -quantity) for key, quantity in total.items()]
    return post(kind=PostingKind.DESPATCH, lines=moves, by=by, at=at, document=sent.number)


def _written(
    listed: PickList,
    sets: Sequence[Leaving],
    carrier: str,
    *,
    by: User,
    at: datetime,
) -> Despatch:
    sent = Despatch(
        pk=next_number(Despatch),  # the ledger is told of it first
        order=listed.order,
        customer_id=listed.order.customer_id,
        pick_list=listed,
        carrier=carrier,
        parcels=listed.parcels or 1,
        known=known_of_all(sets),
        despatched_at=at,
        despatched_by=by,
    )
    if about(sets):
        sent.word_at, sent.word_by, sent.word_why = listed.word_at, listed.word_by, listed.word_why
    refuse_faulty(sent, ["carrier"])
    sent.posting = _book_out(sent, sets, by=by, at=at)
    with named_violation():
        sent.save(force_insert=True)
        DespatchLine.objects.bulk_create(
            DespatchLine(
                despatch=sent,
                order_line=one.order_line,
                hold=one.hold,
                lot=line.lot,
                place=line.place,
                for_place=line.for_place,
                quantity=line.quantity,
                known=known_of(line, one.release.known_of.get(line.lot_id, {}), at=at),
            )
            for one in sets
            for line in one.lines
        )
    return sent


def _count(order: Order, sets: Sequence[Leaving], *, by: User, at: datetime) -> None:
    """Count what left on the lines of the order; the order is over when nothing is left of it."""
    lines = {line.pk: line for line in order.lines.order_by("pk")}
    for one in sets:
        line = lines[one.order_line.pk]
        line.sent += _of_the_line(line, one)
    with named_violation(order_line_is_not_sent_twice=BeyondTheOrder):
        for line in lines.values():
            line.save(update_fields=["sent"])
    if all(line.cancelled or line.sent >= line.quantity for line in lines.values()):
        order.state, order.ended_at, order.ended_by = OrderState.SENT, at, by
        order.ended_why = ALL_HAS_LEFT
        order.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])


def _of_the_line(line: OrderLine, one: Leaving) -> int:
    """A hold is one set; of a line that asks for pieces, as many as left of its SKU."""
    if line.asks == Asks.SETS:
        return 1
    return sum(part.quantity for part in one.lines if part.lot.sku_id == line.sku_id)
