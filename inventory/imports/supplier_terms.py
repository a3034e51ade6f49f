"""The sheet of suppliers' terms: price breaks, minimum, pack, lead time, oldest age."""

from __future__ import annotations

from decimal import Decimal

from inventory.activities.purchasing.terms import TERMS
from inventory.ground.sheets import readers
from inventory.ground.sheets.cells import quoted
from inventory.ground.sheets.columns import Column, of, to
from inventory.ground.sheets.readers import Unread
from inventory.ground.sheets.references import Reference
from inventory.ground.sheets.registered import RegisterSheet
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import SupplierTerms


def price_break(part: str) -> tuple[int, Decimal]:
    """From how many on, and what one then costs: `50: 92.00`."""
    quantity, colon, price = part.partition(":")
    if not colon:
        raise Unread(f"{quoted(part)} is no price break, such as 50: 92.00 for 50 and more.")
    return readers.whole(quantity.strip()), readers.number(price.strip())


class TermsOfSuppliers(RegisterSheet):
    """One row for what a supplier asks for a SKU."""

    name = "supplier-terms"
    title = "Terms of suppliers"
    model = SupplierTerms
    into = TERMS
    key = ("supplier", "sku")
    columns = (
        to("supplier", "supplier", Reference(Supplier, "supplier"), required=True, example="OST"),
        to("SKU", "sku", Reference(Sku, "SKU"), required=True, example="TARN-CW-1857015"),
        of(SupplierTerms, "their_code", heading="their code"),
        Column(
            "price breaks",
            "breaks",
            readers.many(price_break),
            absent=(),
            example="8: 95.00; 50: 92.00",
            wanted="from how many: price of one; several parted by ;",
        ),
        of(SupplierTerms, "currency", example="GBP"),
        of(SupplierTerms, "minimum", heading="least", example="8"),
        of(SupplierTerms, "pack", heading="pack", example="4"),
        of(SupplierTerms, "lead_time_days", heading="lead time days", example="70"),
        of(SupplierTerms, "lead_time_spread_days", heading="days early or late", example="14"),
        of(SupplierTerms, "oldest_months", heading="oldest months", example="12"),
        of(SupplierTerms, "country", heading="made in", example="Norland"),
        of(SupplierTerms, "pattern_issue", heading="pattern issue"),
        of(SupplierTerms, "note"),
    )
