"""Complaints to suppliers, followed to their end: credit, replacement, or accepted after all."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction

from inventory.activities.blocking import lift
from inventory.activities.preordering import serve
from inventory.activities.purchasing import locking
from inventory.activities.purchasing.expecting import follow
from inventory.activities.receiving.stocking import block_laid_for
from inventory.ground.entries.alone import refuse_faulty
from inventory.ground.locking import locked_row
from inventory.ground.refusal import Refusal
from inventory.ledger.post import Move, post
from inventory.models.lot import Block
from inventory.models.place import Place, PlaceKind
from inventory.models.posting import PostingKind
from inventory.models.purchase import PurchaseLine, PurchaseOrder, PurchaseState
from inventory.models.supplier_complaint import (
    Settlement,
    SupplierComplaint,
    SupplierComplaintState,
)

SETTLED = "the last complaint about it is settled"


class SettledAlready(Refusal):
    """A complaint is settled once."""

    def __init__(self, complaint: SupplierComplaint) -> None:
        day = complaint.settled_at.date().isoformat() if complaint.settled_at else ""
        super().__init__(
            f"{complaint.number} was settled on {day} by {complaint.settled_by}: "
            f"{complaint.get_settlement_display()}. Nothing was changed.",
            field="complaint",
        )


class SentAlready(Refusal):
    """The supplier has the complaint."""

    def __init__(self, complaint: SupplierComplaint) -> None:
        super().__init__(
            f"{complaint.number} was sent by {complaint.sent_by} already. Nothing was changed.",
            field="complaint",
        )


class NoSuchSettlement(Refusal):
    """A settlement that is not on the list."""

    status = 400

    def __init__(self, settlement: str) -> None:
        known = ", ".join(Settlement.labels)
        super().__init__(
            f"“{settlement[:40]}” settles nothing: there are {known}.", field="settlement"
        )


class DidNotCome(Refusal):
    """What did not come is neither accepted nor sent back."""

    status = 400

    def __init__(self, complaint: SupplierComplaint) -> None:
        super().__init__(
            f"The tyres of {complaint.number} did not come: they are credited or replaced, "
            "neither accepted nor sent back. Nothing was changed.",
            field="settlement",
        )


class NoGoodsIn(Refusal):
    """There is no place to put what was accepted."""

    def __init__(self, place: Place) -> None:
        super().__init__(
            f"{place.site} has no place for goods in: enter one first. Nothing was changed.",
            field="settlement",
        )


class SentBackAlready(Refusal):
    """The tyres left before."""

    def __init__(self, complaint: SupplierComplaint) -> None:
        super().__init__(
            f"The tyres of {complaint.number} were sent back already. Nothing was changed.",
            field="complaint",
        )


def send_complaint(
    *, complaint: SupplierComplaint, their_reference: str = "", by: User, at: datetime
) -> SupplierComplaint:
    """Say that the supplier has it. Raises SentAlready, SettledAlready, Faulty."""
    with transaction.atomic():
        held = _locked(complaint)
        if held.state == SupplierComplaintState.SENT:
            raise SentAlready(held)
        held.state, held.sent_at, held.sent_by = SupplierComplaintState.SENT, at, by
        held.their_reference = their_reference
        refuse_faulty(held, ["their_reference"])
        held.save(update_fields=["state", "sent_at", "sent_by", "their_reference"])
    return held


def settle(
    *,
    complaint: SupplierComplaint,
    settlement: str,
    answer: str,
    credit: Decimal | None = None,
    by: User,
    at: datetime,
) -> SupplierComplaint:
    """Settle a complaint with what the supplier answered.

    Credit: what was in doubt of the order will not come. Replacement: it is still to come. Accepted
    after all: the block laid on receipt is lifted and the tyres go to goods in. Raises
    SettledAlready, NoSuchSettlement, DidNotCome, NoGoodsIn, Faulty, NotThatMany.
    """
    if settlement not in Settlement.values:
        raise NoSuchSettlement(settlement)
    with transaction.atomic():
        held = _locked(complaint)
        if settlement == Settlement.ACCEPTED and held.lot is None:
            raise DidNotCome(held)
        if settlement == Settlement.ACCEPTED and held.sent_back_id is not None:
            raise SentBackAlready(held)
        held.state = SupplierComplaintState.SETTLED
        held.settled_at, held.settled_by = at, by
        held.settlement, held.answer, held.credit = settlement, answer.strip(), credit
        refuse_faulty(held, ["answer", "credit"])
        held.save(
            update_fields=["state", "settled_at", "settled_by", "settlement", "answer", "credit"]
        )
        if held.order_line is not None:
            _on_the_order(held, held.order_line, by=by, at=at)
        if settlement == Settlement.ACCEPTED:
            _accept(held, by=by, at=at)
            if held.order_line is not None and held.order_line.expected_id is not None:
                serve(expected=[held.order_line.expected_id], by=by, at=at)
    return held


def send_back(*, complaint: SupplierComplaint, by: User, at: datetime) -> SupplierComplaint:
    """Book the tyres of a complaint out of quarantine: they go back to the supplier.

    Raises DidNotCome, SentBackAlready, SettledAlready (where they were accepted), NotThatMany.
    """
    with transaction.atomic():
        held = _locked(complaint, settled=True)
        if held.settlement == Settlement.ACCEPTED:
            raise SettledAlready(held)
        if held.lot_id is None:
            raise DidNotCome(held)
        if held.sent_back_id is not None:
            raise SentBackAlready(held)
        held.sent_back = post(
            kind=PostingKind.SEND_BACK,
            lines=[Move(held.lot_id, _lies_in(held), -held.quantity)],
            by=by,
            at=at,
            document=held.number,
            note=held.says[:500],
        )
        held.save(update_fields=["sent_back"])
    return held


def _locked(complaint: SupplierComplaint, *, settled: bool = False) -> SupplierComplaint:
    rows = SupplierComplaint.objects.select_related(
        *("delivery__place", "quarantine__site", "lot", "order_line", "sent_by", "settled_by")
    )
    held = locked_row(rows, complaint.pk)
    if held.state == SupplierComplaintState.SETTLED and not settled:
        raise SettledAlready(held)
    return held


def _on_the_order(
    complaint: SupplierComplaint, told: PurchaseLine, *, by: User, at: datetime
) -> None:
    """What was in doubt of an order line is settled: kept, given up, or still to come."""
    order = locked_row(PurchaseOrder.objects.all(), told.order_id)
    line = PurchaseLine.objects.select_related("sku", "expected").get(pk=told.pk)
    line.order = order
    line.disputed -= complaint.disputes
    if complaint.settlement == Settlement.CREDIT:
        line.waived += complaint.disputes
    elif complaint.settlement == Settlement.ACCEPTED:
        line.received += complaint.disputes
        line.over += complaint.quantity - complaint.disputes
    line.save(update_fields=["disputed", "waived", "received", "over"])
    follow(line, by=by, at=at)
    if order.state != PurchaseState.CLOSED:
        locking.changed(order, by=by, at=at, why=SETTLED)


def _accept(complaint: SupplierComplaint, *, by: User, at: datetime) -> None:
    """The tyres wait in goods in to be put away; another reason to block them still stands."""
    lot_id = complaint.lot_id
    assert lot_id is not None  # noqa: S101 - whoever calls has looked
    standing = Block.objects.filter(lot=lot_id, lifted_at__isnull=True)
    # The block that was laid with the complaint, at the same moment.
    laid = standing.filter(reason=block_laid_for(complaint.reason), placed_at=complaint.opened_at)
    for block in laid:
        lift(block=block, why=f"{complaint.number}: accepted after all", by=by, at=at)
    post(
        kind=PostingKind.MOVE,
        lines=[
            Move(lot_id, _lies_in(complaint), -complaint.quantity),
            Move(lot_id, _back_into(complaint), complaint.quantity),
        ],
        by=by,
        at=at,
        document=complaint.number,
    )


def _lies_in(complaint: SupplierComplaint) -> int:
    """The quarantine where its tyres are."""
    if complaint.quarantine_id is not None:
        return complaint.quarantine_id
    assert complaint.delivery is not None  # noqa: S101 - a constraint says so
    return complaint.delivery.quarantine_id


def _back_into(complaint: SupplierComplaint) -> int:
    """Goods in: where they were unloaded, or at the site where they were put aside by hand."""
    if complaint.quarantine is None:
        assert complaint.delivery is not None  # noqa: S101 - a constraint says so
        return complaint.delivery.place_id
    rows = Place.objects.filter(site=complaint.quarantine.site_id, kind=PlaceKind.GOODS_IN)
    first = rows.order_by("walk", "code").first()
    if first is None:
        raise NoGoodsIn(complaint.quarantine)
    return first.pk
