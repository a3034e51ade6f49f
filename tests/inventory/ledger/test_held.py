"""Holds and balances locked together, also where somebody holds tyres between the two locks."""

from __future__ import annotations

import threading
from datetime import timedelta

import psycopg
import pytest
from django.db import OperationalError, transaction

from inventory.activities.holding import extend, hold_pieces
from inventory.ledger.held import break_youngest, lock_held
from inventory.ledger.lapse import let_lapsed_go, lock_free, lock_shelf
from inventory.ledger.locks import TRIES, again_if_locked, lock_balances
from inventory.models.balance import Balance
from inventory.models.hold import Hold
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop
from tests.factories.when import AT

FRIDAY = AT + timedelta(days=4)


def house():
    sku = SkuFactory()
    lot = (shop := Shop()).stock(6, sku=sku)
    told = {"customer": CustomerFactory(), "sku": sku, "by": UserFactory(), "at": AT}
    return (lot.pk, shop.racks[0].pk), {"until": FRIDAY, **told}


def unavailable():
    error = OperationalError("not at once")
    error.__cause__ = psycopg.errors.LockNotAvailable("not at once")
    return error


@pytest.mark.django_db
class TestAlone:
    def test_lines_stand_oldest_hold_first(self):
        pair, told = house()
        holds = [hold_pieces(quantity=quantity, **told) for quantity in (2, 1)]
        held = lock_held([pair], by=told["by"], at=AT)
        assert held.holds == holds
        assert [line.quantity for line in held.at(pair)] == [2, 1]
        assert (held.balances[pair].on_hand, held.balances[pair].held) == (6, 3)
        assert held.lapsed == ()

    def test_what_has_run_out_is_let_go(self):
        pair, told = house()
        hold = hold_pieces(quantity=2, **told)
        held = lock_held([pair], by=told["by"], at=FRIDAY)
        assert (held.lapsed, held.lines) == ((hold,), ())
        assert held.balances[pair].free == 6

    def test_the_youngest_are_broken_until_so_many_are_left(self):
        pair, told = house()
        holds = [hold_pieces(quantity=2, **told) for _ in range(3)]
        held = lock_held([pair], by=told["by"], at=AT)
        broken = break_youngest(held, pair, keep=3, why="burnt", by=told["by"], at=AT)
        assert list(broken) == [holds[2], holds[1]]
        assert Balance.objects.get(lot=pair[0]).held == 2

    def test_free_is_what_is_free_at_that_moment(self):
        pair, told = house()
        hold_pieces(quantity=4, **told)
        assert lock_free([pair], by=told["by"], at=AT)[pair].free == 2
        assert lock_free([pair], by=told["by"], at=FRIDAY)[pair].free == 6
        assert let_lapsed_go([pair], by=told["by"], at=FRIDAY) == ()

    def test_holds_asked_for_are_locked_with_the_shelf(self):
        _, told = house()
        hold = hold_pieces(quantity=4, **told)
        found = lock_shelf([told["sku"].pk], by=told["by"], at=AT, holds=[hold.pk])
        assert found == {hold.pk: hold}
        assert lock_shelf([], by=told["by"], at=AT) == {}


@pytest.mark.django_db(transaction=True)
def test_a_shelf_is_locked_in_a_transaction():
    with pytest.raises(transaction.TransactionManagementError):
        lock_shelf([1], by=UserFactory(), at=AT)


@pytest.mark.django_db
class TestAgain:
    def test_until_it_is_had(self):
        left = [unavailable(), unavailable()]

        def work():
            if left:
                raise left.pop()
            return "had"

        assert again_if_locked(work) == "had"

    def test_not_for_ever(self):
        tries = []

        def work():
            tries.append(1)
            raise unavailable()

        with pytest.raises(OperationalError):
            again_if_locked(work)
        assert len(tries) == TRIES

    def test_nothing_else_is_tried_again(self):
        tries = []

        def work():
            tries.append(1)
            raise OperationalError("the disk is full")

        with pytest.raises(OperationalError, match="disk"):
            again_if_locked(work)
        assert len(tries) == 1


@pytest.mark.django_db(transaction=True)
class TestAtOnce:
    def test_a_hold_that_comes_between_the_locks_is_seen(self, someone_else):
        """They hold two tyres while we wait for the balance: we see them."""
        pair, told = house()
        has_it, go_on = threading.Event(), threading.Event()

        def holds_two():
            with transaction.atomic():
                hold_pieces(quantity=2, **told)
                has_it.set()
                go_on.wait(20)

        theirs = someone_else.start(holds_two)
        assert has_it.wait(20)
        threading.Timer(0.3, go_on.set).start()
        with transaction.atomic():
            held = lock_held([pair], by=told["by"], at=AT)
        theirs.result(20)
        assert [line.quantity for line in held.lines] == [2]
        assert held.balances[pair].held == 2

    def test_a_hold_that_somebody_else_has_in_hand_is_waited_for(self, someone_else):
        pair, told = house()
        hold = hold_pieces(quantity=2, **told)
        has_it, go_on = threading.Event(), threading.Event()
        later = FRIDAY + timedelta(days=1)

        def extends():
            with transaction.atomic():
                extend(hold=hold, until=later, why="on holiday", by=told["by"], at=AT)
                has_it.set()
                go_on.wait(20)

        theirs = someone_else.start(extends)
        assert has_it.wait(20)
        threading.Timer(0.3, go_on.set).start()
        with transaction.atomic():
            held = lock_held([pair], by=told["by"], at=FRIDAY)
        theirs.result(20)
        assert held.lapsed == ()  # they were first: it runs longer
        assert Hold.objects.get().until == later

    def test_the_shelf_is_ours_until_we_are_done(self, someone_else):
        pair, told = house()
        with transaction.atomic():
            lock_shelf([told["sku"].pk], by=told["by"], at=AT)

            def locks():
                with transaction.atomic():
                    return lock_balances([pair])

            theirs = someone_else.start(locks)
            with pytest.raises(TimeoutError):
                theirs.result(0.5)
        assert theirs.result(20)
