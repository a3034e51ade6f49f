"""The patrol of promises."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory.activities.holding import extend, hold_pieces
from inventory.models.balance import Balance
from inventory.models.hold import Hold, HoldLine
from inventory.models.sale import Order, OrderLine
from stockist.patrol.selling import CHECKS
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, held_pieces, held_set
from tests.factories.when import AT

pytestmark = pytest.mark.django_db


def faults():
    return {check.name: check.look().faults for check in CHECKS}


@pytest.fixture
def order():
    """A set of four and three pieces, each held for an order; and one piece for nobody's."""
    _, order, lot, _ = held_set(on_hand=6)
    told = {"customer": CustomerFactory(), "until": AT + timedelta(days=1), "by": UserFactory()}
    hold_pieces(sku=lot.sku, quantity=1, at=AT, **told)
    held_pieces()
    return order


@pytest.fixture
def extended():
    told = {"by": UserFactory(), "at": AT}
    lot = Shop().stock(1, sku=SkuFactory())
    hold = hold_pieces(
        sku=lot.sku, quantity=1, customer=CustomerFactory(), until=AT + timedelta(days=1), **told
    )
    for days in (2, 3):
        extend(hold=hold, until=AT + timedelta(days=days), why="on holiday", **told)
    return hold


def test_extended_twice(extended):
    assert faults()["extended"] == ()


def test_until_another_time_than_its_extensions_say(extended):
    Hold.objects.filter(pk=extended.pk).update(until=AT + timedelta(days=9))
    assert faults()["extended"] == (
        f"{extended.number} runs until another time than its extensions say.",
    )


def test_what_the_activities_leave_is_in_order(order):
    assert faults() == {"held": (), "beyond": (), "closed": (), "empty": (), "extended": ()}


def test_a_balance_that_holds_other_than_holds_say(order):
    balance = Balance.objects.filter(held=5).get()
    Balance.objects.filter(pk=balance.pk).update(held=4)
    told = f"Lot {balance.lot} in {balance.place}: 4 are held, open holds say 5."
    assert faults()["held"] == (told,)


def test_a_line_of_which_nothing_is_in_the_books(order):
    line = HoldLine.objects.order_by("pk").first()
    Balance.objects.filter(lot=line.lot).delete()
    assert "0 are held, open holds say 5." in faults()["held"][0]


def test_more_held_than_ordered(order):
    OrderLine.objects.filter(order=order).update(sent=1)
    OrderLine.objects.filter(asks="pieces").update(quantity=2)
    told = faults()["beyond"]
    assert told[0] == f"{order.number}, line 1: of 1 ordered 1 have left and 1 are held."
    assert "of 2 ordered 0 have left and 3 are held." in told[1]


def test_held_for_a_line_that_was_cancelled(order):
    OrderLine.objects.filter(order=order).update(cancelled=True)
    assert len(faults()["beyond"]) == 1


def test_held_for_an_order_that_has_ended(order):
    Order.objects.filter(pk=order.pk).update(
        state="cancelled", ended_at=AT, ended_by=order.made_by, ended_why="x"
    )
    assert faults()["closed"][0].endswith(f"is for {order.number}, which is cancelled.")


def test_a_hold_of_nothing(order):
    HoldLine.objects.all().delete()
    assert len(faults()["empty"]) == 3
