"""Which lot of a transfer a scan names; one that is not on it is answered with what to do."""

from __future__ import annotations

from inventory import scanning
from inventory.activities.transferring.refusals import NotOnThisTransfer, NotWanted, SeveralLots
from inventory.markings.scans import UnreadableScan
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.transfer import Transfer, TransferLine

_NAMED = 4


def lot_scanned(transfer: Transfer, text: str) -> Lot:
    """The lot that a scan names: by its own label, or by its SKU's where no other lot is to come.

    Raises NotWanted, SeveralLots, NotOnThisTransfer.
    """
    plain = text.strip()
    try:
        scan = scanning.read_scan(plain)
    except UnreadableScan as error:
        raise NotWanted(transfer, plain, f"{error}") from error
    lot = scanning.lot_in(scan)
    if lot is not None:
        return lot
    skus = [sku.pk for sku in scanning.skus_in(scan)]
    lines = (
        transfer.lines.filter(lot__sku__in=skus).select_related("lot__sku").order_by("lot__code")
    )
    found = list(lines)
    coming = [line.lot for line in found if line.to_come]
    if len(coming) > 1:
        raise SeveralLots(transfer, ", ".join(lot.code for lot in coming[:_NAMED]))
    if not found:
        raise NotWanted(transfer, plain, scanning.what_it_is(scan))
    return coming[0] if coming else found[0].lot


def refusal_of(transfer: Transfer, lot: Lot, line: TransferLine | None) -> NotOnThisTransfer:
    """Why no more of a lot can arrive on a transfer, with what to do about the tyre in hand."""
    left, sent = (line.to_come, line.quantity) if line else (0, 0)
    return NotOnThisTransfer(transfer, lot, left, sent, _advice(transfer, lot))


def _advice(transfer: Transfer, lot: Lot) -> str:
    """What the books say of the lot, and what follows for one that came all the same."""
    rows = Balance.objects.filter(lot=lot, on_hand__gt=0).select_related("place__site")
    lies = list(rows.order_by("place__walk", "pk"))
    sent_from = next((row for row in lies if row.place.site_id == transfer.from_site_id), None)
    here = next((row for row in lies if row.place.site_id == transfer.to_site_id), None)
    if sent_from is not None:
        place = sent_from.place
        return (
            f"The books have {sent_from.on_hand} of it in {place.code} at {place.site}: if one "
            "came from there, put it aside, send it off as a transfer of its own, book that in."
        )
    if here is not None:
        return f"The books have {here.on_hand} of it in {here.place.code} here: put it back there."
    elsewhere = f"The books have it in {lies[0].place.code}. " if lies else "The books have none. "
    return f"{elsewhere}Put it into quarantine, and count it at {transfer.from_site}."
