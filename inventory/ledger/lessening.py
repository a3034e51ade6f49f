"""Tyres that are not there after all: booked out, and the youngest holds on them broken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from django.contrib.auth.models import User

from inventory.ledger.held import Held, break_youngest, lock_held
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold
from inventory.models.posting import Posting, PostingKind

_LONGEST_REASON = 240


def post_found(
    *,
    kind: PostingKind,
    moves: Sequence[Move],
    document: str,
    why: str,
    by: User,
    at: datetime,
) -> tuple[Posting, tuple[Hold, ...]]:
    """Book what was found in the racks, fewer or more; the posting, and the holds it broke.

    Where fewer are left than are held, the youngest holds are broken, each as a whole, with the
    reason. Needs a transaction around it, and no lock on a balance from before. Raises what
    ``post`` does: NotThatMany where more would go than lie there.
    """
    held = lock_held([(move.lot_id, move.place_id) for move in moves], by=by, at=at)
    broken: list[Hold] = []
    for move in moves:
        pair = (move.lot_id, move.place_id)
        left = max(held.balances[pair].on_hand + move.on_hand, 0)
        if move.on_hand < 0 and sum(line.quantity for line in held.at(pair)) > left:
            ended = break_youngest(held, pair, keep=left, why=why[:_LONGEST_REASON], by=by, at=at)
            broken += ended
            held = _without(held, {hold.pk for hold in ended})
    posting = post(kind=kind, lines=moves, by=by, at=at, document=document, note=why)
    return posting, tuple(broken)


def _without(held: Held, holds: set[int]) -> Held:
    return replace(held, lines=tuple(line for line in held.lines if line.hold_id not in holds))
