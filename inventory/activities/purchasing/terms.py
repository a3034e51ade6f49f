"""Terms of suppliers, SKU by SKU, with their price breaks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime
from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.register import Entry, Register, Values
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import PriceBreak, SupplierTerms

DEAREST = Decimal("9999999.99")
Break = tuple[int, Decimal]
"""From so many pieces, each costs so much."""


class TermsValues(TypedDict, total=False):
    """What can be said of a supplier's terms for a SKU."""

    supplier: Supplier
    sku: Sku
    their_code: str
    currency: str
    minimum: int
    pack: int
    lead_time_days: int
    lead_time_spread_days: int
    oldest_months: int | None
    note: str
    breaks: Sequence[Break]


def _faults(terms: SupplierTerms, given: Values) -> Iterator[Fault]:
    """A price from one quantity is told once, and is a price."""
    said: set[int] = set()
    for quantity, price in given.get("breaks", ()):
        if quantity in said:
            yield Fault("breaks", f"Two prices are told from {quantity} pieces on: keep one.")
        if not 1 <= quantity <= 100_000:
            yield Fault(
                "breaks", f"A price holds from 1 to 100,000 pieces on, not from {quantity}."
            )
        if not 0 <= price <= DEAREST or price != round(price, 2):
            yield Fault("breaks", f"{price} is no price: nought or more, with two decimals.")
        said.add(quantity)


class TermsRegister(Register[SupplierTerms]):
    """Terms by supplier and SKU, with the price breaks that belong to them."""

    parts = frozenset({"breaks"})

    def write_parts(
        self, entries: Sequence[Entry[SupplierTerms]], *, by: User, at: datetime
    ) -> None:
        """Give each row exactly the price breaks that were given with it, where any were."""
        told = {e.row.pk: e for e in entries if "breaks" in e.given}
        rows = PriceBreak.objects.filter(terms_id__in=told)
        held: dict[int, set[Break]] = defaultdict(set)
        for terms_id, quantity, price in rows.values_list(
            "terms_id", "from_quantity", "unit_price"
        ):
            held[terms_id].add((quantity, price))
        changed = [pk for pk, e in told.items() if set(e.given["breaks"]) != held[pk]]
        rows.filter(terms_id__in=changed).delete()
        PriceBreak.objects.bulk_create(
            PriceBreak(terms_id=pk, from_quantity=quantity, unit_price=price)
            for pk in changed
            for quantity, price in sorted(told[pk].given["breaks"])
        )
        for pk in changed:
            told[pk].parts_changed = True


TERMS = TermsRegister(SupplierTerms, key=("supplier", "sku"), derive=_faults)


def make_terms(*, by: User, at: datetime, **values: Unpack[TermsValues]) -> SupplierTerms:
    """Enter a supplier's terms for a SKU. Raises Faulty."""
    return TERMS.make(values, by=by, at=at)


def change_terms(
    *,
    terms: SupplierTerms,
    seen: int | None = None,
    by: User,
    at: datetime,
    **values: Unpack[TermsValues],
) -> SupplierTerms:
    """Change what is given of terms. Raises Faulty; StaleVersion where they were changed since."""
    return TERMS.change(terms, values, seen=seen, by=by, at=at)


def price_of(breaks: Sequence[Break], quantity: int) -> Decimal | None:
    """The price of one where so many are ordered; None where none is told for so few."""
    reached = [
        (from_quantity, price) for from_quantity, price in breaks if from_quantity <= quantity
    ]
    return max(reached)[1] if reached else None
