"""What a delivery note says: read from the frozen record of a despatch, never worked out again.

Only where it goes is read from rows that can change, because names and addresses can be forgotten.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.conf import settings
from django.utils import timezone

from inventory.models.despatch import Despatch, DespatchLine
from stockist.papers.wording import approval_words

Known = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class NoteLine:
    """So many tyres of one lot, as they left: every word as it was known then."""

    quantity: int
    title: str
    sku: str
    for_place: str
    lot: str
    date_code: str
    mark: str
    made_in: str
    condition: str
    approvals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoteSet:
    """One set or so many pieces. said: the verdict in sentences. approvals: what they rest on."""

    what: str
    said: tuple[str, ...]
    against: tuple[str, ...]
    lines: tuple[NoteLine, ...]
    approvals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DeliveryNote:
    """A whole delivery note. word_why: why it left against advice, "" where it did not."""

    shop: str
    number: str
    order: str
    reference: str
    left_on: date
    to: tuple[str, ...]
    carrier: str
    parcels: int
    sets: tuple[NoteSet, ...]
    word_why: str
    cautions: tuple[str, ...]


def note_of(despatch: Despatch) -> DeliveryNote:
    """The delivery note of a despatch. Two queries, however many lines it has."""
    held = Despatch.objects.select_related("order", "customer").get(pk=despatch.pk)
    lines = list(held.lines.order_by("pk"))
    order, customer = held.order, held.customer
    address = order.deliver_to or customer.address
    return DeliveryNote(
        shop=settings.SHOP_NAME,
        number=held.number,
        order=order.number,
        reference=order.reference,
        left_on=timezone.localtime(held.despatched_at).date(),
        to=(customer.name, *address.splitlines()),
        carrier=held.carrier,
        parcels=held.parcels,
        sets=tuple(_set(known, lines) for known in held.known["sets"]),
        word_why=held.word_why,
        cautions=tuple(held.known["cautions"]),
    )


def _set(known: Known, lines: Sequence[DespatchLine]) -> NoteSet:
    mine = [line for line in lines if line.hold_id == known["hold"]]
    carried = {code for line in mine for code in line.known.get("approvals", [])}
    about = [one for one in known.get("approvals", []) if one["code"] in carried]
    return NoteSet(
        what=known["what"],
        said=tuple(known["said"]),
        against=tuple(reason["words"] for reason in known["reasons"]),
        lines=tuple(_line(line) for line in mine),
        approvals=tuple(approval_words(one) for one in about),
    )


def _line(line: DespatchLine) -> NoteLine:
    known = line.known
    return NoteLine(
        quantity=line.quantity,
        title=known["title"],
        sku=known["sku"],
        for_place=line.for_place,
        lot=known["lot"],
        date_code=known["date_code"],
        mark=" ".join(word for word in (known["mark"], known["mark_issue"]) if word),
        made_in=known["made_in"],
        condition=known["condition"],
        approvals=tuple(known.get("approvals", [])),
    )
