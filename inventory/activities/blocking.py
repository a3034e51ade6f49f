"""Taking a lot off sale and putting it back. Where it lies is another thing."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.refusal import Refusal
from inventory.ground.violations import named_violation
from inventory.ledger.held import end_holds, lock_held
from inventory.models.balance import Balance
from inventory.models.hold import HoldState
from inventory.models.lot import Block, BlockReason, Lot


class NoSuchReason(Refusal):
    """A reason that is not on the list."""

    status = 400

    def __init__(self, reason: str) -> None:
        known = ", ".join(BlockReason.labels)
        super().__init__(
            f"“{reason[:40]}” is no reason to block a lot: there are {known}.", field="reason"
        )


class BlockedAlready(Refusal):
    """The lot is blocked for this reason already."""

    sentence = "This lot is blocked for this reason already. Nothing was changed."


class LiftedAlready(Refusal):
    """Somebody lifted the block before."""

    def __init__(self, block: Block) -> None:
        day = block.lifted_at.date().isoformat() if block.lifted_at else ""
        super().__init__(
            f"This block of lot {block.lot.code} was lifted on {day}. Nothing was changed."
        )


class SayWhyLifted(Refusal):
    """A block is lifted for a reason."""

    status = 400

    def __init__(self) -> None:
        super().__init__("Say why the block is lifted.", field="why")


def block(
    *, lot: Lot, reason: str, by: User, at: datetime, note: str = "", breaks: bool = False
) -> Block:
    """Block a lot: from this moment none of its tyres is promised, wherever it lies.

    What is held of it stays held and cannot leave, unless ``breaks`` says that every hold on it is
    broken. Raises NoSuchReason, BlockedAlready, Faulty.
    """
    if reason not in BlockReason.values:
        raise NoSuchReason(reason)
    placed = Block(lot=lot, reason=reason, note=note, placed_by=by, placed_at=at)
    refuse_faulty(placed, ["note"])
    with transaction.atomic():
        _see_to_holds(placed, breaks=breaks, by=by, at=at)
        with named_violation(block_stands_once_per_reason=BlockedAlready):
            placed.save(force_insert=True)
    return placed


def _see_to_holds(placed: Block, *, breaks: bool, by: User, at: datetime) -> None:
    """Let go of what has run out; break the rest where that was said."""
    rows = Balance.objects.filter(lot=placed.lot_id, held__gt=0).order_by("pk")
    pairs = set(rows.values_list("lot_id", "place_id"))
    if not pairs:
        return
    held = lock_held(pairs, by=by, at=at)
    if breaks:
        why = f"lot {placed.lot.code} is blocked: {placed.get_reason_display()}"
        end_holds(held.holds, state=HoldState.BROKEN, why=why, by=by, at=at)


def lift(*, block: Block, why: str, by: User, at: datetime) -> Block:
    """Lift one block; the lot may be sold again when none stands.

    Raises LiftedAlready, SayWhyLifted, Faulty.
    """
    if not why.strip():
        raise SayWhyLifted
    with transaction.atomic():
        held = Block.objects.select_for_update(no_key=True).get(pk=block.pk)
        if held.lifted_at is not None:
            raise LiftedAlready(held)
        held.lifted_at, held.lifted_by, held.lifted_why = at, by, why
        refuse_faulty(held, ["lifted_why"])
        with named_violation():
            held.save(update_fields=["lifted_at", "lifted_by", "lifted_why"])
    return held
