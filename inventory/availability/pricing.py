"""What one set costs, or why that cannot be said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inventory.availability.values import Price


@dataclass(frozen=True, slots=True)
class Priced:
    """So many pieces of one SKU at its price."""

    code: str
    pieces: int
    price: Decimal | None
    currency: str


def set_price(parts: Iterable[Priced]) -> Price:
    """The sum of all parts, or no amount and the reason in words."""
    parts = list(parts)
    unpriced = sorted({part.code for part in parts if part.price is None})
    if unpriced:
        return Price(None, reason=f"No price is known for {', '.join(unpriced)}.")
    currencies = sorted({part.currency for part in parts})
    if len(currencies) > 1:
        return Price(None, reason=f"Priced in {' and '.join(currencies)}: they are not added up.")
    total = sum((part.price * part.pieces for part in parts if part.price is not None), Decimal(0))
    return Price(total, currencies[0] if currencies else "")
