"""What a supplier asks for so many: price breaks, and what is wrong with them. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from inventory.ground.entries.faults import Fault
from inventory.models.supplier_terms import SupplierTerms

DEAREST = Decimal("9999999.99")
MOST = 100_000
Break = tuple[int, Decimal]
"""From so many pieces, each costs so much."""


def price_of(breaks: Sequence[Break], quantity: int) -> Decimal | None:
    """The price of one where so many are ordered; None where none is told for so few."""
    reached = [
        (from_quantity, price) for from_quantity, price in breaks if from_quantity <= quantity
    ]
    return max(reached)[1] if reached else None


def faults(terms: SupplierTerms, given: Mapping[str, Any]) -> Iterator[Fault]:
    """What is wrong with terms beyond their single columns: the least, and the price breaks."""
    yield from _of_packs(terms.minimum, terms.pack)
    yield from breaks_wrong(given.get("breaks", ()), terms.minimum)


def _of_packs(minimum: int, pack: int) -> Iterator[Fault]:
    if not minimum or not pack or not minimum % pack:
        return
    more = minimum + pack - minimum % pack
    fewer = minimum - minimum % pack
    known = f"{fewer} or {more}" if fewer else str(more)
    yield Fault("minimum", f"{minimum} is not whole packs of {pack}: {known} would be.")


def breaks_wrong(breaks: Sequence[Break], minimum: int) -> Iterator[Fault]:
    """Each price is one, from a quantity that can be ordered, told once, and never dearer for more.

    ``minimum``: the least on an order.
    """
    told = [*_each(breaks, minimum), *_twice(breaks)]
    yield from told
    if told:
        return
    for (fewer, before), (more, price) in pairwise(sorted(breaks)):
        if price > before:
            yield Fault(
                "breaks",
                f"From {more} pieces on one costs {price}, and {before} from {fewer} on: "
                "a price does not rise with the quantity.",
            )


def _each(breaks: Sequence[Break], minimum: int) -> Iterator[Fault]:
    for quantity, price in breaks:
        if not 1 <= quantity <= MOST:
            words = f"A price holds from 1 to 100,000 pieces on, not from {quantity}."
            yield Fault("breaks", words)
        elif quantity < minimum:
            yield Fault(
                "breaks",
                f"No order is of fewer than {minimum}, and a price is told from {quantity} on: "
                f"the first is from {minimum} on, or from more.",
            )
        if not price.is_finite() or not 0 <= price <= DEAREST or price != round(price, 2):
            yield Fault("breaks", f"{price} is no price: nought or more, with two decimals.")


def _twice(breaks: Sequence[Break]) -> Iterator[Fault]:
    said: set[int] = set()
    for quantity, _ in breaks:
        if quantity in said:
            yield Fault("breaks", f"Two prices are told from {quantity} pieces on: keep one.")
        said.add(quantity)
