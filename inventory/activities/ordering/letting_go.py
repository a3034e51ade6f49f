"""What is held for an order line and is not wanted any more: the youngest holds first."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Sum

from inventory.activities.holding.ending import refuse_picked
from inventory.activities.picking.holding_lines import Spot, less
from inventory.ledger.held import end_holds, locked_holds, pairs_of
from inventory.ledger.locks import lock_balances
from inventory.ledger.post import Move, post
from inventory.models.hold import Hold, HoldLine, HoldState
from inventory.models.pick import PickLine, PickLineState, PickListState
from inventory.models.posting import PostingKind
from inventory.models.sale import Asks, OrderLine


def let_go(line: OrderLine, count: int, *, why: str, by: User, at: datetime) -> None:
    """Let go of so many sets or pieces of a line whose order is locked; none that is being picked.

    Raises IsBeingPicked where too many of them are.
    """
    holds = _youngest_first(line)
    total = _pieces(line, holds)
    whole: list[Hold] = []
    for hold in holds:
        if total[hold.pk] <= count:
            whole.append(hold)
            count -= total[hold.pk]
        if not count:
            break
    last = next((hold for hold in holds if hold not in whole), None) if count else None
    touched = [*whole, *([last] if last is not None else [])]
    refuse_picked(touched)
    lock_balances(pairs_of({hold.pk for hold in touched}))
    end_holds(whole, state=HoldState.RELEASED, why=why, by=by, at=at)
    if last is not None:
        _fewer(last, count, why=why, by=by, at=at)


def _youngest_first(line: OrderLine) -> list[Hold]:
    """The line's open holds, locked, youngest first; those that are being picked last of all."""
    keys = Hold.objects.filter(order_line=line, state=HoldState.OPEN).order_by("pk")
    found = locked_holds(list(keys.values_list("pk", flat=True)))
    rows = PickLine.objects.filter(hold__in=found).exclude(state=PickLineState.BACK)
    rows = rows.exclude(pick_list__state__in=[PickListState.SENT, PickListState.CANCELLED])
    picked = set(rows.order_by("pk").values_list("hold_id", flat=True))
    return sorted(
        (hold for hold in found.values() if hold.state == HoldState.OPEN),
        key=lambda hold: (hold.pk in picked, -hold.pk),
    )


def _pieces(line: OrderLine, holds: list[Hold]) -> dict[int, int]:
    """What each hold counts for: a set, or its pieces."""
    if line.asks == Asks.SETS:
        return {hold.pk: 1 for hold in holds}
    rows = HoldLine.objects.filter(hold__in=holds).values("hold").order_by("hold")
    return dict(rows.annotate(n=Sum("quantity")).values_list("hold", "n"))


def _fewer(hold: Hold, count: int, *, why: str, by: User, at: datetime) -> None:
    """Take so many pieces off a hold, the lines added last first."""
    moves = []
    for row in HoldLine.objects.filter(hold=hold).order_by("-pk"):
        off = min(count, row.quantity)
        if off:
            less(hold, Spot(row.lot_id, row.place_id, row.for_place), off)
            moves.append(Move(row.lot_id, row.place_id, 0, -off))
            count -= off
    post(
        kind=PostingKind.RELEASE, lines=moves, by=by, at=at, document=hold.number, note=why
    )  # fmt: skip
