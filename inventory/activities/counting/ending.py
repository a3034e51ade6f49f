"""A round handed in: what agrees is done, what does not is counted again, then posted."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.counting.inhand import in_hand, said_to_lie
from inventory.activities.counting.refusals import NotToPost
from inventory.ground.locking import locked_row
from inventory.ground.second_person import AnotherPersonIsWanted, alone_up_to, self_checked
from inventory.ledger.lessening import post_found
from inventory.ledger.moves import Move
from inventory.models.count import Count, CountLine, CountState
from inventory.models.hold import Hold
from inventory.models.posting import PostingKind

_MAY_POST = "inventory.change_count"
_ENDED = ("state", "ended_at", "ended_by", "posting", "self_checked", "alone_up_to")


def hand_in(*, count: Count, by: User, at: datetime) -> tuple[Count, tuple[Hold, ...]]:
    """All that is there was entered: the rest the ledger speaks of was not found.

    Where all agrees the count ends. What does not is counted again, once; then a small difference
    is posted, and a larger one waits for another person. The holds that were broken are answered
    too. Raises AtItsEnd, InOtherHands, and what posting does.
    """
    with transaction.atomic():
        held = in_hand(count, by=by, at=at)
        _not_found(held, by=by, at=at)
        off = differences(held)
        if off and held.state == CountState.COUNTING:
            held.state = CountState.AGAIN
            held.save(update_fields=["state"])
            return held, ()
        held.alone_up_to = alone_up_to()
        if not off:
            return _end(held, by=by, at=at), ()
        if sum(abs(line.off) for line in off) <= held.alone_up_to:
            return _posted(held, off, by=by, at=at)
        held.state = CountState.TO_POST
        held.save(update_fields=["state", "alone_up_to"])
        return held, ()


def post_count(
    *, count: Count, alone: bool = False, by: User, at: datetime
) -> tuple[Count, tuple[Hold, ...]]:
    """Post the differences of a count, by somebody who did not count; ``alone``: see there.

    Raises NotToPost, AnotherPersonIsWanted, NotThatMany where tyres have left since.
    """
    with transaction.atomic():
        held = locked_row(Count.objects.with_names(), count.pk)
        if held.state != CountState.TO_POST:
            raise NotToPost(held)
        doers = set(held.lines.order_by("pk").values_list("counted_by_id", flat=True))
        held.self_checked = self_checked(by=by, doers=doers, permission=_MAY_POST, alone=alone)
        return _posted(held, differences(held), by=by, at=at)


def differences(count: Count) -> list[CountLine]:
    """Where counted and ledger disagree; a second round goes before the first."""
    last: dict[tuple[int, int], CountLine] = {}
    rows = count.lines.select_related("lot__sku", "place", "counted_by").order_by("again", "pk")
    for line in rows:
        last[line.lot_id, line.place_id] = line
    return [line for line in last.values() if line.off]


def _not_found(count: Count, *, by: User, at: datetime) -> None:
    """A line of nought for each lot that should be there and was not entered in this round."""
    again = count.state == CountState.AGAIN
    entered = set(count.lines.filter(again=again).values_list("lot_id", "place_id"))
    lies = said_to_lie(count)
    off = {(line.lot_id, line.place_id) for line in differences(count)} if again else set(lies)
    CountLine.objects.bulk_create(
        CountLine(
            count=count, lot_id=lot, place_id=place, again=again, counted=0,
            ledger_said=lies.get((lot, place), 0), counted_at=at, counted_by=by,
        )
        for lot, place in sorted(off - entered)
    )  # fmt: skip


def _posted(
    count: Count, off: list[CountLine], *, by: User, at: datetime
) -> tuple[Count, tuple[Hold, ...]]:
    moves = [Move(line.lot_id, line.place_id, line.off) for line in off]
    why = f"{count.number}: counted {sum(line.off for line in off):+d} against the ledger"
    count.posting, broken = post_found(
        kind=PostingKind.COUNT, moves=moves, document=count.number, why=why, by=by, at=at
    )
    return _end(count, by=by, at=at), broken


def _end(count: Count, *, by: User, at: datetime) -> Count:
    count.state, count.ended_at, count.ended_by = CountState.POSTED, at, by
    count.save(update_fields=_ENDED)
    return count


__all__ = ["AnotherPersonIsWanted", "differences", "hand_in", "post_count"]
