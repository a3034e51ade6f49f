"""The patrol of work on tyres."""

from __future__ import annotations

from decimal import Decimal

import pytest

from inventory.activities import working
from stockist.patrol.working import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import UserFactory
from tests.factories.stock import stock_in
from tests.factories.when import AT
from tests.support.guards import past_the_guards

pytestmark = pytest.mark.django_db


@pytest.fixture
def made():
    """Two of six are buffed, of those one deeper still."""
    balance = stock_in(on_hand=6)
    told = {"place": balance.place, "condition": "buffed", "by": UserFactory(), "at": AT}
    first, _ = working.work(
        lot=balance.lot, quantity=2, buffed_to_mm=Decimal(5), why="For the wet.", **told
    )
    working.work(lot=first, quantity=1, buffed_to_mm=Decimal(4), why="For the dry.", **told)
    return first


def faults():
    found = {check.name: check.look().faults for check in CHECKS}
    return {name: list(told) for name, told in found.items() if told}


def test_what_the_activity_leaves_is_in_order(made):
    assert faults() == {}
    assert {check.look().over for check in CHECKS} == {"2 postings of work"}


def test_more_came_out_than_went_in(made):
    past_the_guards(
        f"UPDATE inventory_ledgerline SET on_hand_change = 3 WHERE lot_id = {made.pk} "
        "AND on_hand_change > 0"
    )
    assert "comes to 1 tyres, in 2 lines and 1 places." in faults()["work"][0]


@pytest.mark.parametrize(
    "change", ["sku_id = {sku}", "date_code = '0101'", "made_from_id = NULL", "mark = 'HLM'"]
)
def test_it_became_another_tyre(made, change):
    change = change.format(sku=SkuFactory().pk)
    past_the_guards(f"UPDATE inventory_lot SET {change} WHERE id = {made.pk}")
    assert f"lot {made.code} says other things" in faults()["worked"][0]


def test_nobody_said_why(made):
    past_the_guards("UPDATE inventory_posting SET note = '' WHERE kind = 'work'")
    assert len(faults()["work says why"]) == 2
