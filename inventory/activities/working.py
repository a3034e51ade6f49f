"""Work on tyres: buffing, hand-cutting, regrading. One lot out, another in; who, and why.

What is taken off a tyre is for a qualified person: nothing here says that a tyre may be buffed, cut
or raced. An organiser's class and the maker decide.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.made_from import lot_made_from
from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.ledger.lapse import let_lapsed_go
from inventory.ledger.moves import Move, some
from inventory.ledger.post import SayWhy, post
from inventory.models.lot import Condition, Lot
from inventory.models.place import Place
from inventory.models.posting import Posting, PostingKind


class NeverNewAgain(Refusal):
    """Work does not make a tyre new, and a regraded one stays what it has become."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Tyres of lot {lot.code} are {lot.get_condition_display()}: no work makes a tyre new. "
            "Nothing was changed.",
            field="condition",
        )


class NothingIsDone(Refusal):
    """The tyres are so already."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} is {lot.get_condition_display()} already. Nothing was changed.",
            field="condition",
        )


class NotDeeperAgain(Refusal):
    """Rubber that was buffed away does not come back."""

    status = 400

    def __init__(self, lot: Lot) -> None:
        super().__init__(
            f"Lot {lot.code} is buffed to {lot.buffed_to_mm} mm: only less can be left. "
            "Nothing was changed.",
            field="buffed_to_mm",
        )


def work(
    *,
    lot: Lot,
    place: Place,
    quantity: int,
    condition: str,
    buffed_to_mm: Decimal | None = None,
    why: str,
    by: User,
    at: datetime,
) -> tuple[Lot, Posting]:
    """Make so many free tyres of a lot into another lot, where they lie; it, and the posting.

    The new lot is as the old one, and its owner's, but for its condition; it says what it was made
    from. Work of the same kind on the same lot goes into the same new lot. Raises SayWhy,
    NoneAsked, NotWhole, TooMany, NeverNewAgain, NothingIsDone, NotDeeperAgain, Faulty, NotThatMany
    (held tyres stay).
    """
    some(quantity)
    if not why.strip():
        raise SayWhy
    _look_over(lot, condition, buffed_to_mm)
    with transaction.atomic():
        made = lot_made_from(
            locked_row(Lot.objects.select_related("sku"), lot.pk),
            condition=condition, buffed_to_mm=buffed_to_mm, by=by, at=at,
        )  # fmt: skip
        lines = [Move(lot.pk, place.pk, -quantity), Move(made.pk, place.pk, quantity)]
        let_lapsed_go([(line.lot_id, line.place_id) for line in lines], by=by, at=at)
        posting = post(
            kind=PostingKind.WORK, lines=lines, by=by, at=at, document=made.code, note=why.strip()
        )
    return made, posting


def _look_over(lot: Lot, condition: str, buffed_to_mm: Decimal | None) -> None:
    if condition == Condition.NEW:
        raise NeverNewAgain(lot)
    if condition == lot.condition and buffed_to_mm == lot.buffed_to_mm:
        raise NothingIsDone(lot)
    left = lot.buffed_to_mm if condition == lot.condition else None
    if left is not None and buffed_to_mm is not None and buffed_to_mm > left:
        raise NotDeeperAgain(lot)
