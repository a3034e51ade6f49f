"""Deliveries, their lines, complaints and transfers as pages show them: a word, a sign, reasons."""

from __future__ import annotations

from dataclasses import dataclass

from inventory.models.delivery import Delivery, DeliveryLine, DeliveryState
from inventory.models.sku import Sku
from inventory.models.supplier_complaint import SupplierComplaint, SupplierComplaintState
from inventory.models.transfer import Transfer, TransferState
from stockist.drawings.sidewall import SidewallPicture, sidewall

_STATES = {
    DeliveryState.IN_PROGRESS: ("→", "cannot_tell"),
    DeliveryState.BOOKED: ("✓", "suits"),
    DeliveryState.GIVEN_UP: ("–", "caution"),
}
_COMPLAINTS = {
    SupplierComplaintState.OPEN: ("!", "caution"),
    SupplierComplaintState.SENT: ("→", "cannot_tell"),
    SupplierComplaintState.SETTLED: ("✓", "suits"),
}
_TRANSFERS = {
    TransferState.ON_THE_WAY: ("→", "cannot_tell"),
    TransferState.ARRIVING: ("…", "cannot_tell"),
    TransferState.ARRIVED: ("✓", "suits"),
    TransferState.SHORT: ("!", "caution"),
}


@dataclass(frozen=True, slots=True)
class Signed:
    """A row with the sign beside its state, and the class that repeats it in colour."""

    row: Delivery | SupplierComplaint | Transfer
    sign: str
    tone: str


def delivery_row(delivery: Delivery) -> Signed:
    return Signed(delivery, *_STATES[DeliveryState(delivery.state)])


def complaint_row(complaint: SupplierComplaint) -> Signed:
    return Signed(complaint, *_COMPLAINTS[SupplierComplaintState(complaint.state)])


def transfer_row(transfer: Transfer) -> Signed:
    return Signed(transfer, *_TRANSFERS[TransferState(transfer.state)])


@dataclass(frozen=True, slots=True)
class LineSaid:
    """One line of a delivery: what was read, and what the shop makes of it."""

    line: DeliveryLine
    read: str
    sign: str
    tone: str
    words: str


def line_said(line: DeliveryLine) -> LineSaid:
    """A line in words: as ordered, or why it goes to quarantine."""
    parts = [
        line.date_code or "no date code",
        _mark(line.mark, line.mark_issue),
        f"pattern issue {line.pattern_issue}" if line.pattern_issue else "",
        f"made in {line.country}" if line.country else "",
        line.side,
        line.size_read,
    ]
    told = ", ".join(part for part in parts if part)
    if line.disagrees:
        return LineSaid(line, told, "✕", "does_not_suit", f"to quarantine: {line.says}")
    return LineSaid(line, told, "✓", "suits", "as ordered")


def title_of(sku: Sku) -> str:
    """A SKU as a person in the warehouse would call it."""
    if sku.pattern is None:
        return sku.name or sku.code
    return f"{sku.maker.name} {sku.pattern.name} {sku.size}"


def wanted_mark(sku: Sku) -> str:
    """The mark that should be read on it."""
    return _mark(sku.mark, sku.mark_issue) or "none"


def picture_of(sku: Sku) -> SidewallPicture | None:
    """The drawn sidewall of a tyre, with what should be read there."""
    if sku.pattern is None:
        return None
    numbers = (str(one) for one in sku.type_approvals.all())
    return sidewall(
        size=sku.size_text,
        service="",
        maker=sku.maker.name,
        pattern=sku.pattern.name,
        mark=sku.mark,
        mark_issue=sku.mark_issue,
        tube=sku.get_tube_display() if sku.tube else "",
        type_approvals=tuple(numbers),
        sidewall_style=sku.sidewall,
    )


def _mark(mark: str, issue: str) -> str:
    return f"{mark} issue {issue}" if issue else mark
