"""The lots of a delivery: tyres that read alike and fared alike, booked by one posting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.contrib.auth.models import User

from inventory.activities.blocking import block
from inventory.activities.lots import LotValues, dated_columns
from inventory.activities.opening import make_lots
from inventory.activities.receiving.sharing import Share
from inventory.ledger.post import Move, post
from inventory.models.delivery import Delivery, DeliveryLine, Disagreement, Found
from inventory.models.lot import BlockReason, Condition, Lot
from inventory.models.posting import Posting, PostingKind

_BLOCKS = {
    Disagreement.DAMAGED: BlockReason.DAMAGED,
    Disagreement.WRONG_MARK: BlockReason.WRONG_MARK,
    Disagreement.TOO_OLD: BlockReason.TOO_OLD,
}
_NOTE = 400


def block_laid_for(wrong: str) -> BlockReason:
    """The reason for which a lot is blocked that disagrees in this way."""
    return _BLOCKS.get(Disagreement(wrong), BlockReason.TO_BE_CHECKED)


@dataclass(slots=True)
class Batch:
    """Tyres of one delivery that become one lot; ``wrong`` is why they go to quarantine, or ""."""

    wrong: str
    first: DeliveryLine
    lines: list[DeliveryLine] = field(default_factory=list)
    quantity: int = 0
    disputes: int = 0
    lot: Lot | None = None

    @property
    def says(self) -> str:
        """What is wrong with them, in words."""
        if self.wrong == Disagreement.OVER:
            return f"{self.quantity} more than were still to come."
        return " ".join(dict.fromkeys(line.says for line in self.lines if line.says))


def batches(
    delivery: Delivery, lines: Sequence[DeliveryLine], shares: Mapping[int, Share]
) -> list[Batch]:
    """The lines of a delivery, those that read and fared alike together, in the order read."""
    found: dict[tuple[Any, ...], Batch] = {}

    def put(line: DeliveryLine, wrong: str, quantity: int, disputes: int = 0) -> None:
        if quantity:
            columns = dated_columns(line.date_code, delivery.arrived_on)
            dated = (columns["date_code"], columns["plant"])
            marks = (line.mark, line.mark_issue, line.pattern_issue, line.country)
            key = (wrong, line.found, line.sku_id, line.order_line_id, dated, marks)
            batch = found.setdefault(key, Batch(wrong, line))
            batch.lines.append(line)
            batch.quantity += quantity
            batch.disputes += disputes

    for line in lines:
        share = shares[line.pk]
        if line.disagrees:
            put(line, line.disagrees, line.quantity, share.disputes)
        else:
            put(line, "", share.kept)
            put(line, Disagreement.OVER.value, share.over)
    return list(found.values())


def stocked(delivery: Delivery, booked: Sequence[Batch], *, by: User, at: datetime) -> Posting:
    """Make the lots, block what is wrong, and book all of it where it lies now."""
    rows = [_values(delivery, batch, number) for number, batch in enumerate(booked, start=1)]
    for batch, lot in zip(booked, make_lots(rows, by=by, at=at), strict=True):
        batch.lot = lot
        if batch.wrong:
            reason = block_laid_for(batch.wrong)
            block(lot=lot, reason=reason, note=batch.says[:_NOTE], by=by, at=at)
        for line in batch.lines:
            if batch.wrong == Disagreement.OVER:
                line.over_lot = lot
            else:
                line.lot = lot
    return post(
        kind=PostingKind.RECEIPT,
        lines=[
            Move(batch.lot.pk, place.pk, batch.quantity)
            for batch in booked
            if batch.lot is not None
            for place in (delivery.quarantine if batch.wrong else delivery.place,)
        ],
        by=by,
        at=at,
        document=delivery.number,
        note=f"Delivery note {delivery.note_number}",
    )


def _values(delivery: Delivery, batch: Batch, number: int) -> LotValues:
    line = batch.first
    worn = line.found == Found.PART_WORN
    values = LotValues(
        code=f"{delivery.number}-{number:02}",
        sku=line.sku,
        date_code=line.date_code,
        mark=line.mark,
        mark_issue=line.mark_issue,
        pattern_issue=line.pattern_issue,
        country=line.country,
        delivery=delivery.number,
        received_on=delivery.arrived_on,
        condition=(Condition.PART_WORN if worn else Condition.NEW).value,
    )
    if line.order_line is not None:
        values["unit_cost"] = line.order_line.unit_price
        values["currency"] = line.order_line.order.currency
    return values
