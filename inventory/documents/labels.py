"""The labels of lots and of places: what each says, and what its symbol holds."""

from __future__ import annotations

from inventory.documents.values import Label
from inventory.markings.scans.identifiers import SIGNS
from inventory.models.lot import Condition, Lot, Owner
from inventory.models.place import Place


def lot_label(lot: Lot, place: Place | None = None, number: str = "") -> Label:
    """The label of a tyre of a lot; the same for all of them.

    ``number`` is the article number of its SKU, 14 figures. Then the symbol says (01) the article
    and (10) our lot, last and alone of variable length, so that no separator can be lost. Without
    one it says (91) our lot, and no article number is invented. A lot whose code has signs that
    GS1 data cannot have stands in a plain symbol.
    """
    sku, code = lot.sku, lot.code
    elements: tuple[tuple[str, str], ...] = ()
    if SIGNS.issuperset(code):
        elements = (("01", number), ("10", code)) if number else (("91", code),)
    return Label(
        title=sku.size_text or sku.name or sku.code,
        lines=(sku.code, _pattern(lot), _mark(lot), _dated(lot), _apart(lot)),
        foot=place.code if place else "",
        code="".join(f"({name}){data}" for name, data in elements) or code,
        elements=elements,
        plain="" if elements else code,
    )


def place_label(place: Place) -> Label:
    """The label of a place: its code, read from afar."""
    return Label(
        title=place.code,
        lines=(place.site.name, "" if place.kind == "storage" else place.get_kind_display()),
        foot="",
        code=place.code,
        plain=place.code,
    )


def _pattern(lot: Lot) -> str:
    sku = lot.sku
    return f"{sku.maker.name} {sku.pattern.name}" if sku.pattern else sku.name


def _mark(lot: Lot) -> str:
    return " issue ".join(word for word in (lot.mark, lot.mark_issue) if word)


def _dated(lot: Lot) -> str:
    if lot.date_code:
        return f"date code {lot.date_code}"
    return f"no date code, delivery {lot.delivery}" if lot.delivery else "no date code"


def _apart(lot: Lot) -> str:
    """What must not be overlooked: tyres of others, and tyres that are not new."""
    said = []
    if lot.owner == Owner.CUSTOMER:
        said.append(f"STORED for customer {lot.owner_customer_id}")
    if lot.owner == Owner.SUPPLIER:
        said.append("ON CONSIGNMENT")
    if lot.condition != Condition.NEW:
        deep = f" to {lot.buffed_to_mm} mm" if lot.buffed_to_mm is not None else ""
        said.append(f"{lot.get_condition_display()}{deep}")
    return ", ".join(said)
