"""Eight people at once, each on a connection of their own."""

from __future__ import annotations

import random
import time
from functools import partial

import pytest
from django.db import connection, transaction

from inventory.ground.retry import retried
from inventory.ledger.locks import lock_balances
from inventory.ledger.post import Move, NotThatMany, post
from inventory.ledger.reconcile import differences
from inventory.models.balance import Balance
from inventory.models.posting import LedgerLine, Posting
from tests.factories.people import UserFactory
from tests.factories.places import PlaceFactory
from tests.factories.stock import LotFactory, stock_in
from tests.factories.when import AT
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)
EIGHT = 8


@pytest.fixture
def by():
    return UserFactory()


def in_order(by):
    assert differences() == []
    assert not Balance.objects.filter(on_hand__lt=0).exists()


def tries(work, times):
    """Do it so many times; how often it was done, and how often refused."""
    done = refused = 0
    for _ in range(times):
        try:
            work()
            done += 1
        except NotThatMany:
            refused += 1
    return done, refused


def test_eight_on_one_balance_take_what_there_is(by):
    balance = stock_in(on_hand=100)
    one = [Move(balance.lot_id, balance.place_id, -1)]
    work = partial(post, kind="move", lines=one, by=by, at=AT)
    answers = at_once(*[partial(tries, work, 20)] * EIGHT)
    assert sum(done for done, _ in answers) == 100
    assert sum(refused for _, refused in answers) == 60
    balance.refresh_from_db()
    assert balance.on_hand == 0
    in_order(by)


def test_eight_add_to_one_balance(by):
    balance = stock_in(on_hand=1)
    one = [Move(balance.lot_id, balance.place_id, 1)]
    work = partial(post, kind="move", lines=one, by=by, at=AT)
    assert at_once(*[partial(tries, work, 25)] * EIGHT) == [(25, 0)] * EIGHT
    balance.refresh_from_db()
    assert balance.on_hand == 201
    in_order(by)


def test_eight_move_to_and_fro_without_a_deadlock(by):
    """Every move takes two of the same few balances, named in either order."""
    lots, places = LotFactory.create_batch(2), PlaceFactory.create_batch(3)
    for lot in lots:
        stock_in(on_hand=30, lot=lot, place=places[0])

    def shuffle(seed):
        dice = random.Random(seed)

        def one_move():
            lot = dice.choice(lots)
            source, target = dice.sample(places, 2)
            lines = [Move(lot.pk, source.pk, -2), Move(lot.pk, target.pk, 2)]
            dice.shuffle(lines)
            post(kind="move", lines=lines, by=by, at=AT)

        return tries(one_move, 40)

    answers = at_once(*[partial(shuffle, seed) for seed in range(EIGHT)])
    assert all(done + refused == 40 for done, refused in answers), answers
    for lot in lots:
        assert sum(Balance.objects.filter(lot=lot).values_list("on_hand", flat=True)) == 30
    in_order(by)


def test_eight_make_the_same_new_balances(by):
    lot, places = LotFactory(), PlaceFactory.create_batch(10)

    def open_all(seed):
        lines = [Move(lot.pk, place.pk, 1) for place in places]
        random.Random(seed).shuffle(lines)
        post(kind="opening", lines=lines, by=by, at=AT)

    assert at_once(*[partial(open_all, seed) for seed in range(EIGHT)]) == [None] * EIGHT
    assert set(Balance.objects.values_list("on_hand", flat=True)) == {EIGHT}
    assert Balance.objects.count() == len(places)
    in_order(by)


def test_a_refusal_that_made_balances_takes_nothing_from_the_others(by):
    """Some post to new balances and are refused, others post to the same ones and are not."""
    lot, places = LotFactory(), PlaceFactory.create_batch(4)

    def refused():
        lines = [Move(lot.pk, place.pk, 1) for place in places[:3]]
        post(kind="move", lines=[*lines, Move(lot.pk, places[3].pk, -1)], by=by, at=AT)

    def booked():
        lines = [Move(lot.pk, place.pk, 1) for place in places[:3]]
        post(kind="move", lines=lines, by=by, at=AT)

    answers = at_once(*[partial(tries, work, 15) for work in [refused, booked] * 4])
    assert answers == [(0, 15), (15, 0)] * 4
    assert Balance.objects.filter(on_hand=60).count() == 3
    assert not Balance.objects.filter(place=places[3]).exists()
    in_order(by)


def test_hold_and_sale_never_meet_over_the_same_tyre(by):
    balance = stock_in(on_hand=40)
    pair = (balance.lot_id, balance.place_id)
    hold = partial(post, kind="move", lines=[Move(*pair, held=1)], by=by, at=AT)
    sell = partial(post, kind="move", lines=[Move(*pair, -1)], by=by, at=AT)
    answers = at_once(*[partial(tries, work, 10) for work in [hold, sell] * 4])
    balance.refresh_from_db()
    assert balance.held == sum(done for done, _ in answers[::2])
    assert balance.on_hand == 40 - sum(done for done, _ in answers[1::2])
    assert balance.held <= balance.on_hand
    in_order(by)


def test_looking_before_posting(by):
    """Whoever has to look first locks first: no two see the same last four."""
    balance = stock_in(on_hand=10)
    pair = (balance.lot_id, balance.place_id)

    def take_four_if_there():
        with transaction.atomic():
            if lock_balances([pair])[pair].free < 4:
                return False
            post(kind="move", lines=[Move(*pair, -4)], by=by, at=AT)
            return True

    assert sorted(at_once(*[take_four_if_there] * EIGHT)) == [False] * 6 + [True] * 2
    in_order(by)


def test_what_somebody_is_just_bringing_is_waited_for(by, someone_else):
    """The balance says 1, and 5 more are booked and not yet committed: 3 can be had."""
    balance = stock_in(on_hand=1)
    pair = (balance.lot_id, balance.place_id)
    take = partial(post, kind="move", lines=[Move(*pair, -3)], by=by, at=AT)
    with transaction.atomic():
        post(kind="move", lines=[Move(*pair, 5)], by=by, at=AT)
        taken = someone_else.start(take)
        wait_for_a_lock()
    assert taken.result(10).pk
    balance.refresh_from_db()
    assert balance.on_hand == 3
    in_order(by)


def test_what_somebody_is_just_taking_is_not_there(by, someone_else):
    balance = stock_in(on_hand=6, code="L7", place=PlaceFactory(code="R1"))
    pair = (balance.lot_id, balance.place_id)
    take = partial(post, kind="move", lines=[Move(*pair, -4)], by=by, at=AT)
    with transaction.atomic():
        take()
        taken = someone_else.start(take)
        wait_for_a_lock()
    with pytest.raises(NotThatMany, match="2 of lot L7 are in R1; 4 were asked for"):
        taken.result(10)
    in_order(by)


def wait_for_a_lock():
    """Until the other connection stands waiting for this one."""
    until = time.monotonic() + 10
    while time.monotonic() < until:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT count(*) FROM pg_locks WHERE NOT granted AND pg_backend_pid() = "
                "ANY(pg_blocking_pids(pid))"
            )
            if cursor.fetchone()[0]:
                return
        time.sleep(0.01)
    pytest.fail("nobody came to wait")


def test_a_lock_not_had_is_tried_again(by, someone_else):
    balance = stock_in(on_hand=3)
    lines = [Move(balance.lot_id, balance.place_id, -1)]
    pauses = []

    def impatient():
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET LOCAL lock_timeout = '50ms'")
            return post(kind="move", lines=lines, by=by, at=AT)

    kept = transaction.atomic()
    someone_else(kept.__enter__)
    someone_else(lambda: lock_balances([(balance.lot_id, balance.place_id)]))

    def let_go(seconds):
        pauses.append(seconds)
        if len(pauses) == 2:
            someone_else(lambda: kept.__exit__(None, None, None))

    assert retried(impatient, pause=let_go).pk
    assert len(pauses) == 2
    assert (Posting.objects.count(), LedgerLine.objects.count()) == (2, 2)
