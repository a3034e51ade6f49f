"""Terms of suppliers, SKU by SKU, with their price breaks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.contrib.auth.models import User

from inventory.activities.purchasing.pricing import Break, breaks_wrong, faults
from inventory.ground.entries.parts import Part
from inventory.ground.entries.register import Entry, Register
from inventory.models.sku import Sku
from inventory.models.supplier import Supplier
from inventory.models.supplier_terms import PriceBreak, SupplierTerms


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
    country: str
    pattern_issue: str
    note: str
    breaks: Sequence[Break]


class TermsRegister(Register[SupplierTerms]):
    """Terms by supplier and SKU, with the price breaks that belong to them."""

    parts = frozenset({"breaks"})
    compared = (
        Part("breaks", lambda e: sorted(e.given["breaks"]), lambda pks: held_breaks(pks), []),
    )

    def judge_on(self, entries: Sequence[Entry[SupplierTerms]], *, on: date) -> None:
        """A new least is held against the price breaks that are there already."""
        told = [
            e
            for e in entries
            if "minimum" in e.changes and "breaks" not in e.given and not e.faults
        ]
        for pk, held in held_breaks(e.row.pk for e in told).items():
            entry = next(e for e in told if e.row.pk == pk)
            entry.faults += breaks_wrong(held, entry.row.minimum)

    def write_parts(
        self, entries: Sequence[Entry[SupplierTerms]], *, by: User, at: datetime
    ) -> None:
        """Give each row exactly the price breaks that were given with it, where any were."""
        changed = [e for e in entries if "breaks" in e.given and (e.is_new or e.parts_changed)]
        PriceBreak.objects.filter(terms__in=[entry.row.pk for entry in changed]).delete()
        PriceBreak.objects.bulk_create(
            PriceBreak(terms=entry.row, from_quantity=quantity, unit_price=price)
            for entry in changed
            for quantity, price in sorted(entry.given["breaks"])
        )


def held_breaks(terms: Iterable[int]) -> dict[int, list[Break]]:
    """The price breaks of terms by their pk, from the smallest quantity; none, none."""
    found: dict[int, list[Break]] = defaultdict(list)
    rows = PriceBreak.objects.filter(terms_id__in=list(terms)).order_by("terms", "from_quantity")
    for pk, quantity, price in rows.values_list("terms_id", "from_quantity", "unit_price"):
        found[pk].append((quantity, price))
    return dict(found)


TERMS = TermsRegister(SupplierTerms, key=("supplier", "sku"), derive=faults)


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
