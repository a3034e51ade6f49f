"""What a scanned or typed text names, for a page that wants one thing of it."""

from __future__ import annotations

from inventory import scanning
from inventory.markings.scans import Scan, UnreadableScan
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku

_SHORTEST = 5  # shorter texts may be date codes
_SHOWN = 60


def read(text: str) -> Scan | None:
    """The scan, or None where it cannot be read."""
    try:
        return scanning.read_scan(text)
    except UnreadableScan:
        return None


def skus_named(text: str) -> list[Sku]:
    """The SKUs that a text names: by code, by article number (which may stand for several)."""
    scan = read(text)
    return scanning.skus_in(scan) if scan else []


def names_a_sku(text: str) -> bool:
    """Whether a text that was scanned for something else is the label of a SKU."""
    return len(text.strip()) >= _SHORTEST and bool(skus_named(text))


def place_named(text: str) -> Place | None:
    """The place whose label was scanned."""
    scan = read(text)
    return scanning.place_in(scan) if scan else None


def lot_named(text: str) -> Lot | None:
    """The lot whose label was scanned."""
    scan = read(text)
    return scanning.lot_in(scan) if scan else None


def not_wanted(text: str, wanted: str) -> str:
    """What was scanned and what was wanted, in words."""
    try:
        scan = scanning.read_scan(text)
    except UnreadableScan as error:
        return f"{error} {wanted[:1].upper()}{wanted[1:]} is wanted."
    shown = scan.text if len(scan.text) <= _SHOWN else f"{scan.text[:_SHOWN]}…"
    shown = shown.replace("\x1d", " ")
    return f"“{shown}” was read, and {wanted} is wanted. {scanning.what_it_is(scan)}"
