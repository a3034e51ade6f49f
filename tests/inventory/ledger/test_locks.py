"""Locks on balances: which, in which order, and that they hold."""

from __future__ import annotations

import pytest
from django.db import OperationalError, connection, transaction

from inventory.ledger.locks import Locked, lock_balances
from inventory.ledger.post import Move, NoSuchStock, post
from inventory.models.balance import Balance
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.counting import queries_of


@pytest.mark.django_db
def test_says_what_is_there():
    balance = stock_in(on_hand=5, held=2)
    pair = (balance.lot_id, balance.place_id)
    assert lock_balances([pair]) == {pair: Locked(*pair, 5, 2)}
    assert lock_balances([pair])[pair].free == 3


@pytest.mark.django_db
def test_makes_the_missing_ones():
    lot, places = LotFactory(), PlaceFactory.create_batch(3)
    pairs = [(lot.pk, place.pk) for place in reversed(places)]
    found = lock_balances(pairs)
    assert list(found) == sorted(pairs)
    assert {locked.on_hand for locked in found.values()} == {0}


@pytest.mark.django_db
def test_nothing_to_lock():
    assert lock_balances([]) == {}


@pytest.mark.django_db
def test_a_lot_that_is_not_there():
    with pytest.raises(NoSuchStock):
        lock_balances([(10**9, PlaceFactory().pk)])


@pytest.mark.django_db
def test_two_queries_however_many():
    pairs = [(LotFactory().pk, PlaceFactory().pk) for _ in range(4)]
    assert queries_of(lambda: lock_balances(pairs[:1])) == queries_of(lambda: lock_balances(pairs))
    assert queries_of(lambda: lock_balances(pairs)) == 2


@pytest.mark.django_db(transaction=True)
def test_needs_a_transaction():
    with pytest.raises(transaction.TransactionManagementError, match="transaction"):
        lock_balances([])


@pytest.mark.django_db(transaction=True)
def test_holds_until_the_transaction_ends(someone_else):
    balance = stock_in(on_hand=5)
    pair = (balance.lot_id, balance.place_id)

    def take_one():
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET LOCAL lock_timeout = '150ms'")
            post(kind="move", lines=[Move(*pair, -1)], by=balance.lot.recorded_by, at=AT)

    with transaction.atomic():
        lock_balances([pair])
        with pytest.raises(OperationalError, match="lock timeout"):
            someone_else(take_one)
    someone_else(take_one)
    balance.refresh_from_db()
    assert balance.on_hand == 4


@pytest.mark.django_db(transaction=True)
def test_others_may_refer_to_the_lot_meanwhile(someone_else):
    """FOR UPDATE on the lot would keep them waiting."""
    balance, other = stock_in(on_hand=5), PlaceFactory()
    line = Move(balance.lot_id, other.pk, 1)
    by = balance.lot.recorded_by
    with transaction.atomic():
        lock_balances([(balance.lot_id, balance.place_id)])
        someone_else(lambda: post(kind="move", lines=[line], by=by, at=AT))
    assert Balance.objects.get(place=other).on_hand == 1
