"""The price of one set, or why there is none."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.availability.pricing import Priced, set_price
from inventory.availability.values import Price


def part(price, *, pieces=2, code="T1", currency="GBP"):
    return Priced(code, pieces, None if price is None else Decimal(price), currency)


@pytest.mark.parametrize(
    ("parts", "amount"),
    [
        ([part("10.05")], "20.10"),
        ([part("10.05"), part("0.10", pieces=4)], "20.50"),
        ([part("0")], "0"),
        ([], "0"),
    ],
)
def test_the_parts_add_up_to_the_penny(parts, amount):
    assert set_price(parts).amount == Decimal(amount)


def test_every_missing_price_is_named_once():
    parts = [part(None, code="B"), part(None, code="A"), part("1"), part(None, code="B")]
    assert set_price(parts) == Price(None, reason="No price is known for A, B.")


def test_two_currencies():
    found = set_price([part("1"), part("1", currency="EUR"), part("2")])
    assert (found.amount, found.reason) == (None, "Priced in EUR and GBP: they are not added up.")
