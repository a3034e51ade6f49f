"""Moving tyres from place to place; between sites by way of a place in transit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.complained_of import leave_complaints_alone
from inventory.activities.held_tyres import Follows, following, shift
from inventory.ground.refusal import Refusal
from inventory.ledger.held import lock_held, open_on
from inventory.ledger.locks import Pair, lock_balances
from inventory.ledger.moves import some
from inventory.ledger.post import Move, post
from inventory.models.lot import Lot
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import Posting, PostingKind
from inventory.models.transfer import TO_COME, Transfer, TransferLine


@dataclass(frozen=True, slots=True)
class Step:
    """So many tyres of a lot from one place to another."""

    lot: Lot
    source: Place
    target: Place
    quantity: int


class SamePlace(Refusal):
    """From a place to itself."""

    status = 400

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"The tyres are in {place.code} already: say where they go. Nothing was changed.",
            field="target",
        )


class AnotherSite(Refusal):
    """Tyres do not jump from site to site: on the way they are somewhere too."""

    def __init__(self, step: Step) -> None:
        source, target = step.source, step.target
        super().__init__(
            f"{source.code} is at {source.site}, {target.code} at {target.site}: book the tyres "
            "into a place in transit first, and out of it when they arrive. Nothing was changed.",
            field="target",
        )


class OnATransfer(Refusal):
    """Tyres in transit that a transfer is to bring: they are booked in by it, or nobody would know.

    More than that may lie in a place in transit, and is moved as ever.
    """

    def __init__(self, line: TransferLine, free: int) -> None:
        super().__init__(
            f"Lot {line.lot.code} is on the way on {line.transfer.number}, and {free} of it are "
            "not part of a transfer: book its arrival instead. Nothing was changed.",
            field="source",
        )


class ThereAndBack(Refusal):
    """Steps that undo one another."""

    status = 400
    sentence = "These moves undo one another: nothing would have moved. Nothing was changed."


def move(
    *,
    lot: Lot,
    source: Place,
    target: Place,
    quantity: int,
    by: User,
    at: datetime,
    document: str = "",
    note: str = "",
) -> Posting:
    """Move so many tyres of a lot from one place to another: free ones, or all there are.

    What has run out is let go first; where everything goes, holds go with their tyres. Raises
    NoneAsked, NotWhole, TooMany, SamePlace, AnotherSite, OnATransfer, NotThatMany, HeldTyresStay,
    NotForHeldTyres, IsBeingPicked, ComplainedOf.
    """
    step = Step(lot, source, target, quantity)
    return move_together(steps=[step], by=by, at=at, document=document, note=note)


def move_together(
    *,
    steps: Sequence[Step],
    by: User,
    at: datetime,
    document: str = "",
    note: str = "",
    transfer: Transfer | None = None,
) -> Posting:
    """Several moves as one posting, such as a van loaded: all of them or none.

    ``transfer`` is the one whose tyres are sent or booked in by this. Raises what ``move`` does,
    NothingToPost, and ThereAndBack.
    """
    changes: dict[Pair, int] = {}
    targets: dict[Pair, list[Place]] = {}
    for step in steps:
        _look_over(step)
        targets.setdefault((step.lot.pk, step.source.pk), []).append(step.target)
        for place, change in ((step.source, -step.quantity), (step.target, step.quantity)):
            key = (step.lot.pk, place.pk)
            changes[key] = changes.get(key, 0) + change
    lines = [Move(*key, change) for key, change in changes.items() if change]
    if steps and not lines:
        raise ThereAndBack
    with transaction.atomic():
        follows: list[Follows] = []
        if open_on(targets):
            held = lock_held(changes, by=by, at=at)
            follows = following(held, changes, targets)
            lines = _with_what_is_held(changes, follows)
        if transfer is None and any(step.source.kind == PlaceKind.IN_TRANSIT for step in steps):
            _leave_transfers_alone(lines)
        kept = [(s.lot.pk, s.source.pk) for s in steps if s.source.kind == PlaceKind.QUARANTINE]
        if kept:
            leave_complaints_alone(lines, kept)
        moved = PostingKind.MOVE
        posting = post(kind=moved, lines=lines, by=by, at=at, document=document, note=note)
        shift(follows)
    return posting


def _with_what_is_held(changes: Mapping[Pair, int], follows: Sequence[Follows]) -> list[Move]:
    held = Counter[Pair]()
    for one in follows:
        line = one.line
        held[line.lot_id, line.place_id] -= line.quantity
        held[line.lot_id, one.target.pk] += line.quantity
    return [Move(*key, change, held[key]) for key, change in changes.items() if change]


def _leave_transfers_alone(lines: Sequence[Move]) -> None:
    """Refuse to take what a transfer is to bring; the balances stay locked for what follows."""
    found = lock_balances((line.lot_id, line.place_id) for line in lines)
    for line in lines:
        waiting = TransferLine.objects.filter(
            lot=line.lot_id,
            transfer__through=line.place_id,
            transfer__state__in=TO_COME,
        ).select_related("lot", "transfer")
        bound = sum(one.to_come for one in waiting.order_by("pk"))
        free = found[line.lot_id, line.place_id].free - bound
        first = waiting.order_by("pk").first()
        if first is not None and bound and -line.on_hand > free:
            raise OnATransfer(first, max(free, 0))


def _look_over(step: Step) -> None:
    some(step.quantity)
    if step.source.pk == step.target.pk:
        raise SamePlace(step.source)
    on_the_way = PlaceKind.IN_TRANSIT in (step.source.kind, step.target.kind)
    if step.source.site_id != step.target.site_id and not on_the_way:
        raise AnotherSite(step)
