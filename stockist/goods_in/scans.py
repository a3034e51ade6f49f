"""What a scanned or typed text names: SKUs, a place, or a lot."""

from __future__ import annotations

from inventory.markings.identifiers import BadIdentifier, normalise_gtin
from inventory.models.lot import Lot
from inventory.models.place import Place
from inventory.models.sku import Sku

_SHORTEST = 5  # shorter texts may be date codes


def skus_named(text: str) -> list[Sku]:
    """The SKUs that a text names: by code, by article number (which may stand for several)."""
    wanted = text.strip()
    rows = Sku.objects.with_names().prefetch_related("type_approvals").order_by("code")
    found = list(rows.filter(code__iexact=wanted)[:1])
    if found:
        return found
    try:
        number = normalise_gtin(wanted)
    except BadIdentifier:
        return []
    return list(rows.filter(gtins__number=number).distinct())


def names_a_sku(text: str) -> bool:
    """Whether a text that was scanned for something else is the label of a SKU."""
    return len(text.strip()) >= _SHORTEST and bool(skus_named(text))


def place_named(text: str) -> Place | None:
    """The place whose label was scanned."""
    return Place.objects.select_related("site").filter(code__iexact=text.strip()).first()


def lot_named(text: str) -> Lot | None:
    """The lot whose label was scanned."""
    return Lot.objects.select_related("sku").filter(code__iexact=text.strip()).first()
