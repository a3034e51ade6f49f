"""Proving balances from lines."""

from __future__ import annotations

import pytest

from inventory.ledger.post import Move, post
from inventory.ledger.reconcile import Difference, counted, differences
from inventory.models.balance import Balance
from inventory.models.posting import Posting
from tests.factories.places import PlaceFactory
from tests.factories.stock import BalanceFactory, LedgerLineFactory, stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def balance():
    return stock_in(on_hand=6, held=1)


def spoil(balance, **columns):
    Balance.objects.filter(pk=balance.pk).update(**columns)


def test_nothing_at_all():
    assert differences() == []
    assert counted() == (0, 0)


def test_in_order(balance):
    other = PlaceFactory()
    lines = [Move(balance.lot_id, balance.place_id, -2), Move(balance.lot_id, other.pk, 2)]
    post(kind="move", lines=lines, by=balance.lot.recorded_by, at=AT)
    assert differences() == []
    assert counted() == (2, 3)


def test_what_is_wrong_and_by_how_much(balance):
    spoil(balance, on_hand=8, held=0)
    assert differences() == [Difference(balance.lot_id, balance.place_id, 8, 0, 6, 1)]


def test_held_alone(balance):
    spoil(balance, held=2)
    assert [one.lines_held for one in differences()] == [1]


def test_lines_without_a_balance():
    line = LedgerLineFactory(on_hand_change=3)
    assert differences() == [Difference(line.lot_id, line.place_id, 0, 0, 3, 0)]


def test_a_balance_without_lines():
    found = BalanceFactory(on_hand=5)
    assert differences() == [Difference(found.lot_id, found.place_id, 5, 0, 0, 0)]


def test_an_empty_balance_without_lines_says_nothing_wrong():
    BalanceFactory(on_hand=0)
    assert differences() == []


def test_by_lot_and_place_and_no_more_than_asked():
    balances = [stock_in() for _ in range(4)]
    for balance in balances:
        spoil(balance, on_hand=9)
    found = differences(most=3)
    assert [one.lot_id for one in found] == [balance.lot_id for balance in balances[:3]]


class TestSince:
    def test_only_what_was_touched_from_all_its_lines(self, balance):
        spoil(balance, on_hand=9)
        mark = Posting.objects.latest("pk").pk
        other = stock_in()
        assert differences(since=mark) == []
        assert counted(since=mark) == (1, 1)
        spoil(other, on_hand=1)
        stock_in(on_hand=1, lot=balance.lot, place=balance.place)
        assert [one.lines_on_hand for one in differences(since=mark)] == [7, 4]
        assert counted(since=mark) == (2, 3)

    def test_from_the_beginning(self, balance):
        spoil(balance, on_hand=9)
        assert differences(since=0) == differences()

    def test_lines_without_a_balance(self):
        LedgerLineFactory()
        assert len(differences(since=0)) == 1


def test_one_query(balance):
    assert queries_of(differences) == 1
    assert queries_of(lambda: differences(since=0)) == 1
