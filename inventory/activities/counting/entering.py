"""What was counted, entered scan by scan; what the ledger says is kept beside it, unseen."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.counting.inhand import in_hand
from inventory.activities.counting.refusals import NotToCountAgain, OutsideThisCount
from inventory.ledger.moves import some, whole
from inventory.models.balance import Balance
from inventory.models.count import Count, CountLine, CountState
from inventory.models.lot import Lot
from inventory.models.place import Place


def enter(
    *, count: Count, lot: Lot, place: Place | None = None, quantity: int, by: User, at: datetime
) -> CountLine:
    """So many more of a lot are there; nought says that somebody looked and there is none.

    Entered twice, the two are added.
    ``place`` is told where a SKU is counted; of a count of a place it is that. Raises AtItsEnd,
    InOtherHands, OutsideThisCount, NotToCountAgain, NoneAsked, NotWhole, TooMany.
    """
    if whole(quantity):
        some(quantity)
    with transaction.atomic():
        held = in_hand(count, by=by, at=at)
        where = held.place or place
        if where is None or not _within(held, lot, where):
            raise OutsideThisCount(held, lot, where or Place(code="?"))
        again = held.state == CountState.AGAIN
        if again and not _disagreed(held, lot, where):
            raise NotToCountAgain(held, lot, where)
        lies = Balance.objects.filter(lot=lot, place=where).first()
        said = lies.on_hand if lies else 0
        line, _ = CountLine.objects.get_or_create(
            count=held, lot=lot, place=where, again=again,
            defaults={"counted": 0, "ledger_said": said, "counted_at": at, "counted_by": by},
        )  # fmt: skip
        # What moved since it was begun is in both numbers, if both are taken now.
        line.counted, line.ledger_said = line.counted + quantity, said
        line.counted_at, line.counted_by = at, by
        line.save(update_fields=["counted", "ledger_said", "counted_at", "counted_by"])
    return line


def strike(*, count: Count, line: int, by: User, at: datetime) -> None:
    """Take out what was entered by mistake; nothing, if it was taken out before.

    Raises AtItsEnd, InOtherHands.
    """
    with transaction.atomic():
        held = in_hand(count, by=by, at=at)
        again = held.state == CountState.AGAIN
        held.lines.filter(pk=line, again=again).delete()


def _within(count: Count, lot: Lot, place: Place) -> bool:
    if count.place_id:
        return place.pk == count.place_id
    return place.site_id == count.site_id and lot.sku_id == count.sku_id


def _disagreed(count: Count, lot: Lot, place: Place) -> bool:
    first = count.lines.filter(lot=lot, place=place, again=False).first()
    return first is None or first.off != 0
