"""What a scan says of a line: the lot that was asked for, another one, or another tyre."""

from __future__ import annotations

from dataclasses import dataclass

from inventory import scanning
from inventory.ground.refusal import Refusal
from inventory.markings.scans import UnreadableScan
from inventory.models.balance import Balance
from inventory.models.lot import Lot
from inventory.models.pick import PickLine
from inventory.models.place import Place


class NotRead(Refusal):
    """A scan that says nothing of the line in hand."""

    status = 400

    def __init__(self, text: str, why: str) -> None:
        super().__init__(f"“{text[:40]}” was read: {why}. Nothing was changed.", field="scanned")


@dataclass(frozen=True, slots=True)
class Scanned:
    """The lot that was scanned, and where it is taken from; ``asked``: it is the line's own."""

    lot: Lot
    place: Place
    asked: bool


def scanned_for(line: PickLine, text: str) -> Scanned:
    """Read a scan for a line: a lot's label; or a SKU, a GTIN or the place, where one lot lies.

    The label of a SKU or of a place tells the lot only where no other lot of the SKU lies in the
    line's place. Raises NotRead.
    """
    plain = text.strip()
    try:
        scan = scanning.read_scan(plain)
    except UnreadableScan as error:
        why = f"{error.expected} was expected, and a label of lot {line.lot} is wanted"
        raise NotRead(plain, why) from error
    lot = scanning.lot_in(scan)
    if lot is not None:
        return _of_lot(line, lot, plain)
    place = scanning.place_in(scan)
    if place is not None and place.pk != line.place_id:
        raise NotRead(plain, f"that is another place, {line.place} is wanted")
    if place is None and line.lot.sku_id not in {sku.pk for sku in scanning.skus_in(scan)}:
        raise NotRead(plain, f"lot {line.lot} or a label of {line.lot.sku.code} is wanted")
    there = Balance.objects.filter(place=line.place_id, lot__sku=line.lot.sku_id, on_hand__gt=0)
    others = there.exclude(lot=line.lot_id).select_related("lot").order_by("lot__code")
    if others:
        codes = ", ".join(str(one.lot) for one in others[:4])
        raise NotRead(
            plain, f"other lots of it lie in {line.place} too ({codes}): scan the label of the lot"
        )
    return Scanned(line.lot, line.place, True)


def _of_lot(line: PickLine, lot: Lot, text: str) -> Scanned:
    if lot.pk == line.lot_id:
        return Scanned(line.lot, line.place, True)
    lies = Balance.objects.filter(lot=lot, place__site=line.place.site_id, on_hand__gt=0)
    rows = list(lies.select_related("place__site").order_by("place__walk", "pk"))
    here = [row for row in rows if row.place_id == line.place_id]
    found = here or rows
    if not found:
        raise NotRead(text, f"none of lot {lot} lies at {line.place.site}")
    return Scanned(lot, found[0].place, False)
