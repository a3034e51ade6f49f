"""The patrol of goods on consignment."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities import consigning
from inventory.activities.consigning import Part
from stockist.patrol.consigning import CHECKS
from tests.factories.consigning import consigned
from tests.factories.people import SupplierFactory, UserFactory
from tests.factories.when import AT
from tests.support.guards import past_the_guards

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    """Four on consignment, of which one was bought at another price, one given back."""
    row, balance = consigned(4)
    told = {"consignment": row, "parts": [Part(balance.lot, balance.place, 1)]}
    consigning.buy_in(unit_cost=Decimal(75), by=UserFactory(), at=AT, **told)
    consigning.give_back(by=UserFactory(), at=AT, **told)
    return balance


def faults():
    found = {check.name: check.look().faults for check in CHECKS}
    return {name: list(told) for name, told in found.items() if told}


def test_what_the_activities_leave_is_in_order(balance):
    assert faults() == {}
    assert [check.look().over for check in CHECKS] == [
        *("1 consigned lots", "1 lots of others", "2 steps of consignments", "1 steps bought in"),
    ]


def test_a_lot_of_another_supplier(balance):
    past_the_guards(f"UPDATE inventory_consignment SET supplier_id = {SupplierFactory().pk}")
    assert "which is not its supplier's" in faults()["consignor"][0]


def test_a_consigned_balance_that_is_held(balance):
    past_the_guards(f"UPDATE inventory_balance SET held = 1 WHERE lot_id = {balance.lot_id}")
    (told,) = faults()["unpromised"]
    assert "1 are held, and the owner is a supplier." in told


def test_a_step_that_says_other_than_was_booked(balance):
    past_the_guards("UPDATE inventory_consignmentstep SET quantity = 2 WHERE kind = 'bought'")
    assert len(faults()["consignment steps"]) == 2
    past_the_guards("DELETE FROM inventory_consignmentstep WHERE kind = 'given_back'")
    assert "0 are said, -1 were booked." in faults()["consignment steps"][-1]


def test_a_lot_that_reads_otherwise_than_it_did(balance):
    past_the_guards("UPDATE inventory_lot SET unit_cost = 1 WHERE owner = 'house'")
    assert "says other things of it" in faults()["bought in"][0]
