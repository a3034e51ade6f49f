"""What was picked goes back to where it came from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import datetime

from django.contrib.auth.models import User

from inventory.activities.picking.holding_lines import Spot, shifted
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold, HoldState
from inventory.models.pick import PickLine, PickLineState, PickList
from inventory.models.posting import PostingKind

Pair = tuple[int, int]


def put_back(
    listed: PickList,
    holds: Mapping[int, Hold],
    *,
    stays_held: bool,
    by: User,
    at: datetime,
    why: str,
) -> None:
    """Book what was picked for these holds back to its racks, one posting for all.

    ``stays_held``: for whom it was; else nothing of these holds is held any more. Of a hold that
    was broken meanwhile nothing is held already.
    """
    on_hand: Counter[Pair] = Counter()
    held: Counter[Pair] = Counter()
    lines = PickLine.objects.filter(pick_list=listed, hold__in=holds, taken__gt=0)
    for line in lines.exclude(state=PickLineState.BACK).order_by("pk"):
        hold = holds[line.hold_id]
        lot, origin = line.taken_lot_id or line.lot_id, line.taken_place_id or line.place_id
        here, there = (lot, listed.to_place_id), (lot, origin)
        on_hand[here] -= line.taken
        on_hand[there] += line.taken
        if hold.state == HoldState.OPEN:
            held[here] -= line.taken
            held[there] += line.taken
            shifted(hold, Spot(*here, line.for_place), Spot(*there, line.for_place), line.taken)
    if not stays_held:
        held.subtract(_held_by(holds))
    _book(listed, on_hand, held, stays_held=stays_held, by=by, at=at, why=why)
    rows = PickLine.objects.filter(pick_list=listed, hold__in=holds)
    if not stays_held:
        rows.filter(state=PickLineState.OPEN).delete()
    rows.exclude(state=PickLineState.OPEN).update(state=PickLineState.BACK)


def _held_by(holds: Mapping[int, Hold]) -> Counter[Pair]:
    """What these holds hold, wherever it is now."""
    total: Counter[Pair] = Counter()
    for hold in holds.values():
        if hold.state == HoldState.OPEN:
            for line in hold.lines.order_by("pk"):
                total[line.lot_id, line.place_id] += line.quantity
    return total


def _book(
    listed: PickList,
    on_hand: Counter[Pair],
    held: Counter[Pair],
    *,
    stays_held: bool,
    by: User,
    at: datetime,
    why: str,
) -> None:
    moves = [
        Move(*key, on_hand[key], held[key])
        for key in sorted({*on_hand, *held})
        if on_hand[key] or held[key]
    ]
    if moves:
        kind = PostingKind.MOVE if stays_held else PostingKind.RELEASE
        post(kind=kind, lines=moves, by=by, at=at, document=listed.number, note=why)
