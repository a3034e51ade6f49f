"""What a scan names in this shop: SKUs, a lot, a place. The one way from a label to a row."""

from __future__ import annotations

from collections.abc import Sequence

from django.db.models import Q

from inventory.markings.scans import Scan, read_scan
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku

__all__ = ["lot_in", "place_in", "read_scan", "skus_in", "what_it_is"]

_NAMED = 4  # so many are told where there are several


def skus_in(scan: Scan) -> list[Sku]:
    """The SKUs that a scan names, by code: one article number may stand for several.

    The label of a lot names the SKU of the lot.
    """
    rows = Sku.objects.with_names().prefetch_related("type_approvals").order_by("code")
    found = list(rows.filter(_coded(_codes(scan)))[:1]) if _codes(scan) else []
    if found:
        return found
    lot = lot_in(scan) if scan.elements else None
    if lot is not None:
        return list(rows.filter(pk=lot.sku_id))
    return list(rows.filter(gtins__number=scan.gtin).distinct()) if scan.gtin else []


def place_in(scan: Scan) -> Place | None:
    """The place that a scan names."""
    if not _codes(scan):
        return None
    rows = Place.objects.select_related("site").order_by("pk")
    return rows.filter(_coded(_codes(scan))).first()


def lot_in(scan: Scan) -> Lot | None:
    """The lot that a scan names: by its own code, or as AI 10 behind the article number of its SKU.

    A maker's lot number that happens to be ours of another article is not ours.
    """
    codes, lots = _codes(scan), scan.lots
    wanted = [*codes, *lots]
    if not wanted:
        return None
    rows = Lot.objects.select_related("sku").order_by("pk")
    found = {lot.code.casefold(): lot for lot in rows.filter(_exact(wanted))}
    if not found:
        found = {lot.code.casefold(): lot for lot in rows.filter(_coded(wanted))}
    for code in codes:
        if code.casefold() in found:
            return found[code.casefold()]
    ours = (found[code.casefold()] for code in lots if code.casefold() in found)
    return next((lot for lot in ours if not scan.gtin or _is_of(lot, scan.gtin)), None)


def what_it_is(scan: Scan) -> str:
    """What was scanned, in words, for whoever wanted something else; a whole sentence."""
    place, lot = place_in(scan), lot_in(scan)
    if lot is not None:
        return f"That is lot {lot.code} of {lot.sku.code}."
    if place is not None:
        return f"That is place {place.code}."
    skus = [sku.code for sku in skus_in(scan)]
    if skus:
        more = " and others" if len(skus) > _NAMED else ""
        return f"That is {' or '.join(skus[:_NAMED])}{more}."
    if scan.doubt:
        return scan.doubt
    if scan.gtin:
        return f"No SKU has the article number {scan.gtin}."
    return "Nothing here is called that."


def _codes(scan: Scan) -> list[str]:
    """What may be a code of the house: the text itself, and what stands behind AI 91."""
    return [code for code in (scan.code, scan.own) if code]


def _exact(codes: Sequence[str]) -> Q:
    # Answered from the index; only a code in other letters has to be looked for.
    return Q(code__in=[*codes, *(code.upper() for code in codes)])


def _coded(codes: Sequence[str]) -> Q:
    wanted = Q()
    for code in codes:
        wanted |= Q(code__iexact=code)
    return wanted


def _is_of(lot: Lot, gtin: str) -> bool:
    return lot.sku.gtins.filter(number=gtin).exists()
