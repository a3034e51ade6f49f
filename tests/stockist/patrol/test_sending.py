"""The patrol of despatches and returns."""

from __future__ import annotations

import pytest

from inventory.activities.returning import CameBack, take_back
from inventory.models.sale import OrderLine
from stockist.patrol.sending import CHECKS
from tests.factories.people import UserFactory
from tests.factories.sending import held_pieces, held_set, sent
from tests.factories.stock import LotFactory
from tests.factories.when import AT
from tests.support.guards import past_the_guards

pytestmark = pytest.mark.django_db


@pytest.fixture
def gone():
    """A set and three pieces that left; of the pieces one came back as it left, one fitted."""
    tom = UserFactory(username="tom")
    shop, order, *_ = held_set()
    sent(order, shop, tom)
    shop, order, *_ = held_pieces(quantity=3)
    despatch = sent(order, shop, tom)
    line = despatch.lines.get()
    came = [CameBack(line, 1, kind, shop.racks[0]) for kind in ("new", "fitted")]
    take_back(despatch=despatch, reason="not_wanted", lines=came, by=tom, at=AT)
    return despatch


def faults():
    found = {check.name: check.look().faults for check in CHECKS}
    return {name: told for name, told in found.items() if told}


def test_what_the_activities_leave_is_in_order(gone):
    assert faults() == {}
    assert {check.name: check.look().over for check in CHECKS} == {
        "sent": "2 order lines of customers",
        "despatches": "2 despatches",
        "known": "3 lines of despatches",
        "returns": "1 returns",
        "returned": "2 lines of returns",
        "new again": "2 lines of returns",
    }


def test_an_order_line_that_counts_other_than_left(gone):
    line = gone.lines.get().order_line
    OrderLine.objects.filter(pk=line.pk).update(sent=2)
    told = f"{gone.order.number}, line 1: 2 of 3 are said to have left, 3 did."
    assert faults() == {"sent": (told,)}


def test_more_left_than_was_ordered(gone):
    OrderLine.objects.filter(asks="sets").update(sent=0)
    assert faults()["sent"][0].endswith("line 1: 0 of 1 are said to have left, 1 did.")


def test_a_despatch_that_the_ledger_has_not(gone):
    line = gone.lines.get()
    past_the_guards(f"UPDATE inventory_despatchline SET quantity = 2 WHERE id = {line.pk}")
    told = f"{gone.number}, lot {line.lot} from {line.place}: 2 left, 3 were booked out."
    assert faults()["despatches"] == (told,)


def test_a_ledger_line_that_no_despatch_has(gone):
    past_the_guards(f"DELETE FROM inventory_despatchline WHERE despatch_id = {gone.pk}")
    assert faults()["despatches"][0].endswith(": 0 left, 3 were booked out.")


def test_what_was_frozen_and_is_not_so(gone):
    line = gone.lines.get()
    lot = LotFactory(sku=line.lot.sku, date_code="0120")
    past_the_guards(f"UPDATE inventory_despatchline SET lot_id = {lot.pk} WHERE id = {line.pk}")
    told = f"{gone.number}, lot {lot}: written down were {line.lot} and date code 1425, it is 0120."
    assert told in faults()["known"]


def test_a_return_that_the_ledger_has_not(gone):
    past_the_guards("UPDATE inventory_returnline SET quantity = 2 WHERE condition = 'new'")
    assert faults()["returns"][0].endswith(": 2 came back, 1 were booked in.")


def test_more_came_back_than_left(gone):
    past_the_guards("UPDATE inventory_returnline SET quantity = 3 WHERE condition = 'new'")
    told = f"{gone.number}, lot {gone.lines.get().lot}: 3 left, 4 came back."
    assert faults()["returned"] == (told,)


def test_new_once_more(gone):
    past_the_guards("UPDATE inventory_lot SET condition = 'new' WHERE made_from_id IS NOT NULL")
    assert faults()["new again"][0].endswith("which says other things of it.")
