"""Lines of a delivery in hand: each a tyre, or a run of tyres that read alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.receiving.inhand import in_hand
from inventory.activities.receiving.reading import Agreed, Judged, Reading, judge
from inventory.activities.receiving.refusals import StruckOutAlready
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.entries.faults import Faulty
from inventory.ledger.moves import some
from inventory.models.delivery import Delivery, DeliveryLine, DeliveryNoteLine
from inventory.models.purchase import PurchaseLine
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
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
        agreed = agreed_with(held.supplier, {sku.pk: line.order_line})[sku.pk]
        judged = judge_line(line, agreed, looked=values.get("mark") is not None, reading=True)
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


def judge_line(
    line: DeliveryLine, agreed: Agreed, *, looked: bool = True, reading: bool = False
) -> Judged:
    """What a line comes to against what was ordered and agreed.

    ``looked``: whether somebody looked for the mark; ``reading``: whether the tyre is being read
    now, so that what is agreed can still be looked for.
    """
    nobody = None if reading else ""
    return judge(
        line.sku,
        Reading(
            date_code=line.date_code,
            size=line.size_read,
            mark=line.mark if looked else None,
            mark_issue=line.mark_issue,
            side=line.side,
            found=line.found,
            country=line.country.strip() or nobody,
            pattern_issue=line.pattern_issue.strip() or nobody,
        ),
        agreed=agreed,
        ordered=line.delivery.order_id is None or line.order_line_id is not None,
        arrived_on=line.delivery.arrived_on,
    )


def agreed_with(
    supplier: Supplier, order_lines: Mapping[int, PurchaseLine | None]
) -> dict[int, Agreed]:
    """What is agreed of each SKU: by the supplier's terms, of its age by its order line if any."""
    rows = SupplierTerms.objects.filter(supplier=supplier, sku__in=order_lines).order_by("pk")
    terms = {one.sku_id: one for one in rows}
    found = {}
    for sku, order_line in order_lines.items():
        told = terms.get(sku) or SupplierTerms()
        oldest = order_line.oldest_months if order_line is not None else told.oldest_months
        found[sku] = Agreed(oldest, told.country, told.pattern_issue)
    return found
