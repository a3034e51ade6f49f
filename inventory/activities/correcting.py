"""Putting right what was booked wrongly: by another posting, never by changing the first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.ground.refusal import Refusal
from inventory.ledger.held import break_youngest, lock_held
from inventory.ledger.lapse import let_lapsed_go
from inventory.ledger.moves import some, whole
from inventory.ledger.post import Move, NotThatMany, SayWhy, post
from inventory.models.hold import HoldLine
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.posting import Posting, PostingKind
from inventory.models.storage import storage_of

_WHOSE = ("owner", "owner_customer_id", "owner_supplier_id")


class TakenBackAlready(Refusal):
    """A posting is taken back once."""

    def __init__(self, posting: Posting, earlier: Posting) -> None:
        super().__init__(
            f"Posting {posting.pk} was corrected already, by posting {earlier.pk}. "
            "Nothing was changed."
        )


class CorrectTheFirst(Refusal):
    """A correction is not itself taken back."""

    def __init__(self, posting: Posting) -> None:
        super().__init__(
            f"Posting {posting.pk} is a correction itself: book what is right now instead. "
            "Nothing was changed."
        )


class NothingToCorrect(Refusal):
    """The ledger says what was counted."""

    def __init__(self, lot: Lot, place: Place, counted: int) -> None:
        super().__init__(
            f"The ledger says {counted} of lot {lot.code} in {place.code} as well: "
            "there is nothing to correct.",
            field="counted",
        )


class CountedBelowNought(Refusal):
    """Nobody counts fewer than none."""

    status = 400

    def __init__(self) -> None:
        super().__init__("A count is nought or more. Nothing was changed.", field="counted")


class MoreAreHeld(Refusal):
    """Fewer were counted than are promised to customers."""

    def __init__(self, lot: Lot, place: Place, counted: int, lines: Sequence[HoldLine]) -> None:
        held = sum(line.quantity for line in lines)
        named = ", ".join(f"{line.hold.number} for {line.hold.customer}" for line in lines[:3])
        more = f" and {len(lines) - 3} more" if len(lines) > 3 else ""
        super().__init__(
            f"{held} of lot {lot.code} in {place.code} are held ({named}{more}), and {counted} "
            "were counted: look again, or say that the youngest holds are to be broken. "
            "Nothing was changed.",
            field="counted",
        )


class SameLot(Refusal):
    """A misread tyre goes into another lot."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"The tyres are of lot {lot.code} already: name the lot that they belong to. "
            "Nothing was changed.",
            field="into",
        )


class AnothersTyres(Refusal):
    """A misread sidewall does not make tyres somebody else's."""

    def __init__(self, lot: Lot, into: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} is of {_owner(lot)}, lot {into.code} of {_owner(into)}: what is "
            "misread stays whose it is. Nothing was changed.",
            field="into",
        )


class IsKept(Refusal):
    """Tyres that are kept for a customer come and go with their storage, or it loses them."""

    def __init__(self, number: str) -> None:
        super().__init__(
            f"These tyres come and go with {number}, kept for a customer: hand them back there, "
            "and take them in as they are. Nothing was changed."
        )


def take_back(*, posting: Posting, why: str, by: User, at: datetime) -> Posting:
    """Book the opposite of a whole posting, once.

    Raises SayWhy, TakenBackAlready, CorrectTheFirst, IsKept; NotThatMany where its tyres have gone
    on.
    """
    _say_why(why)
    if posting.kind in (PostingKind.TAKE_IN, PostingKind.HAND_BACK):
        raise IsKept(posting.document)
    with transaction.atomic():
        # First come, first served: a second person waits here and then finds the correction.
        Posting.objects.select_for_update(no_key=True).get(pk=posting.pk)
        if posting.corrects_id is not None:
            raise CorrectTheFirst(posting)
        earlier = posting.corrections.order_by("pk").first()
        if earlier is not None:
            raise TakenBackAlready(posting, earlier)
        lines = [
            Move(line.lot_id, line.place_id, -line.on_hand_change, -line.held_change)
            for line in posting.lines.order_by("pk")
        ]
        let_lapsed_go([(line.lot_id, line.place_id) for line in lines], by=by, at=at)
        return post(
            kind=PostingKind.CORRECTION,
            lines=lines,
            by=by,
            at=at,
            document=posting.document,
            corrects=posting,
            note=why,
        )


def recount(
    *,
    lot: Lot,
    place: Place,
    counted: int,
    why: str,
    breaks: bool = False,
    by: User,
    at: datetime,
) -> Posting:
    """Make the ledger say what was counted of a lot in a place.

    Holds that have run out are let go first. Where more are held than were counted, ``breaks`` says
    that the youngest holds are broken, and the reason is told with each. Raises SayWhy, NotWhole,
    TooMany, CountedBelowNought, NothingToCorrect, MoreAreHeld; NotThatMany where tyres are held for
    nobody that is known.
    """
    _say_why(why)
    if whole(counted) < 0:
        raise CountedBelowNought
    with transaction.atomic():
        pair = (lot.pk, place.pk)
        held = lock_held([pair], by=by, at=at)
        found = held.balances[pair]
        if found.on_hand == counted:
            raise NothingToCorrect(lot, place, counted)
        spoken_for = sum(line.quantity for line in held.at(pair))
        if spoken_for > counted:
            if not breaks:
                raise MoreAreHeld(lot, place, counted, held.at(pair))
            reason = f"{counted} of lot {lot.code} were counted in {place.code}: {why}"
            break_youngest(held, pair, keep=counted, why=reason[:240], by=by, at=at)
        move = Move(*pair, counted - found.on_hand)
        return post(kind=PostingKind.CORRECTION, lines=[move], by=by, at=at, note=why)


def misread(
    *, lot: Lot, into: Lot, place: Place, quantity: int, why: str, by: User, at: datetime
) -> Posting:
    """Book tyres out of the lot they were taken for and into the one they are of, where they lie.

    ``into`` may be of another SKU; a new one is made by ``opening.make_lot`` first. Raises SayWhy,
    SameLot, AnothersTyres, IsKept, NoneAsked, NotWhole, TooMany, NotThatMany (held tyres stay).
    """
    _say_why(why)
    some(quantity)
    if lot.pk == into.pk:
        raise SameLot(lot)
    _refuse_strangers(lot, into)
    lines = [Move(lot.pk, place.pk, -quantity), Move(into.pk, place.pk, quantity)]
    with transaction.atomic():
        let_lapsed_go([(line.lot_id, line.place_id) for line in lines], by=by, at=at)
        return post(kind=PostingKind.CORRECTION, lines=lines, by=by, at=at, note=why)


def _refuse_strangers(lot: Lot, into: Lot) -> None:
    if any(getattr(lot, name) != getattr(into, name) for name in _WHOSE):
        raise AnothersTyres(lot, into)
    kept = storage_of(lot), storage_of(into)
    if kept[0] != kept[1]:
        raise IsKept(" and ".join(one.number for one in kept if one is not None))


def _owner(lot: Lot) -> str:
    return str(lot.owner_customer or lot.owner_supplier or lot.get_owner_display())


def _say_why(why: str) -> None:
    if not why.strip():
        raise SayWhy


__all__ = [
    "AnothersTyres",
    "CorrectTheFirst",
    "CountedBelowNought",
    "IsKept",
    "MoreAreHeld",
    "NotThatMany",
    "NothingToCorrect",
    "SameLot",
    "SayWhy",
    "TakenBackAlready",
    "misread",
    "recount",
    "take_back",
]
