"""What a customer is charged for tyres that are named lot by lot, or by an answer alone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from inventory.activities.holding.parts import Part
from inventory.availability import Price
from inventory.availability.charging import NOUGHT, Charge, Piece, Terms, charged
from inventory.ground.prepared import prepared_cursor
from inventory.models.customer import Customer
from inventory.models.pricing import AgeStep

# Asked for with every sale, while others wait for the same tyres.
_LISTED = """
SELECT l.id, s.code, s.price, s.currency, l.last_day
FROM inventory_lot l JOIN inventory_sku s ON s.id = l.sku_id
WHERE l.id = ANY(%s::bigint[]) ORDER BY l.id
"""


def terms_of(customer: Customer) -> Terms:
    """The customer's class, and the steps for older stock."""
    class_ = customer.price_class
    rows = AgeStep.objects.order_by("from_months").values_list("from_months", "percent_off")
    return Terms(
        class_name=class_.name if class_ else "",
        percent_off=class_.percent_off if class_ else NOUGHT,
        steps=tuple(rows),
    )


def price_of(parts: Iterable[Part], terms: Terms, *, on: date) -> Charge:
    """The price of these parts together, each by its SKU and the age of its lot."""
    named = list(parts)
    with prepared_cursor() as cursor:
        cursor.execute(_LISTED, [sorted({part.lot_id for part in named})])
        lots = {lot: listed for lot, *listed in cursor.fetchall()}
    return charged([_piece(lots[part.lot_id], part.quantity) for part in named], terms, on=on)


def list_price(price: Price, terms: Terms, *, on: date) -> Charge:
    """The price of a set of which no lots are named: the list's, less the customer's class."""
    if price.amount is None:
        return Charge(None, words=price.reason)
    return charged([Piece("the set", 1, price.amount, price.currency)], terms, on=on)


def _piece(listed: list[Any], quantity: int) -> Piece:
    code, price, currency, made = listed
    return Piece(code, quantity, price, currency, made)
