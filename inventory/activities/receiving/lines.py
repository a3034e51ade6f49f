"""Lines of a delivery in hand: each a tyre, or a run of tyres that read alike."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.receiving.inhand import in_hand
from inventory.activities.receiving.reading import Judged, Reading, judge
from inventory.activities.receiving.refusals import StruckOutAlready
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import some
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryNoteLine
from inventory.models.purchase import PurchaseLine
from inventory.models.sku import Sku
from inventory.models.supplier_terms import SupplierTerms

_COLUMNS = (
    *("quantity", "size_read", "date_code", "mark", "mark_issue", "pattern_issue", "country"),
    *("side", "found"),
)


class LineValues(TypedDict, total=False):
    """What was read. ``mark`` is None, or left out, where nobody looked."""

    size_read: str
    date_code: str
    mark: str | None
    mark_issue: str
    pattern_issue: str
    country: str
    side: str
    found: str


@dataclass(frozen=True, slots=True)
class EnteredLine:
    """The line, and what a person should know of the date code as it was read."""

    line: DeliveryLine
    warnings: tuple[str, ...]


def enter_line(
    *,
    delivery: Delivery,
    sku: Sku,
    quantity: int = 1,
    by: User,
    at: datetime,
    **values: Unpack[LineValues],
) -> EnteredLine:
    """Book what was read on a tyre, or on a run of them; what disagrees is kept with the line.

    Raises NoneAsked, NotWhole, TooMany, Faulty (what cannot be read, each with the reason),
    BookedAlready, InOtherHands.
    """
    some(quantity)
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        said = {**values, "mark": values.get("mark") or ""}
        line = DeliveryLine(
            delivery=held, sku=sku, quantity=quantity, entered_by=by, entered_at=at, **said
        )
        line.order_line = order_line_of(held, sku)
        refuse_faulty(line, _COLUMNS)
        judged = judge_line(line, looked=values.get("mark") is not None)
        if judged.faults:
            raise Faulty(judged.faults)
        line.disagrees, line.says = judged.disagrees, judged.says[:500]
        line.save(force_insert=True)
    return EnteredLine(line, judged.warnings)


def strike_line(*, delivery: Delivery, line: int, by: User, at: datetime) -> None:
    """Take a line out that was entered by mistake, by its number.

    Raises StruckOutAlready, BookedAlready, InOtherHands.
    """
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        if not held.lines.filter(pk=line).delete()[0]:
            raise StruckOutAlready


def note_says(*, delivery: Delivery, sku: Sku, quantity: int, by: User, at: datetime) -> None:
    """Say how many of a SKU the delivery note says; nought: the note does not name it.

    Raises NotWhole, TooMany, Faulty, BookedAlready, InOtherHands.
    """
    if quantity:
        some(quantity)
    with transaction.atomic():
        held = in_hand(delivery, by=by, at=at)
        held.note_lines.filter(sku=sku).delete()
        if quantity:
            row = DeliveryNoteLine(delivery=held, sku=sku, quantity=quantity)
            refuse_faulty(row, ["quantity"])
            row.save(force_insert=True)


def order_line_of(delivery: Delivery, sku: Sku) -> PurchaseLine | None:
    """The order line that a SKU of this delivery is booked against."""
    if delivery.order_id is None:
        return None
    return PurchaseLine.objects.filter(order=delivery.order_id, sku=sku).first()


def judge_line(line: DeliveryLine, *, looked: bool = True) -> Judged:
    """What a line comes to against its order line; without an order, against the terms."""
    delivery = line.delivery
    reading = Reading(
        date_code=line.date_code,
        size=line.size_read,
        mark=line.mark if looked else None,
        mark_issue=line.mark_issue,
        side=line.side,
        found=line.found,
    )
    return judge(
        line.sku,
        reading,
        oldest_months=_oldest(line),
        ordered=delivery.order_id is None or line.order_line_id is not None,
        arrived_on=delivery.arrived_on,
    )


def _oldest(line: DeliveryLine) -> int | None:
    if line.order_line is not None:
        return line.order_line.oldest_months
    terms = SupplierTerms.objects.filter(supplier=line.delivery.supplier_id, sku=line.sku_id)
    return terms.values_list("oldest_months", flat=True).first()
