"""Statements sent together: each says what it says alone, and errors are Django's."""

from __future__ import annotations

import time

import pytest
from django.db import ProgrammingError, connection, transaction

from inventory.ground.prepared import prepared_cursor
from inventory.ground.together import Asked, Later, in_turn, together
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db


def more_than(number):
    return Asked("SELECT %s::bigint + 1", [number], lambda rows: rows[0][0])


def told(asked):
    with transaction.atomic():
        with together():
            answers = [Later(one) for one in asked]
        return [answer.told() for answer in answers]


WRONG = Asked("SELECT nothing_of_that_name", None, list)


def test_each_is_told_its_own_answer_in_any_order():
    with together():
        first, second = Later(more_than(1)), Later(more_than(10))
    assert (second.told(), first.told()) == (11, 2)
    assert more_than(1).answer() == 2


def test_many_rows_and_none():
    numbers = Asked("SELECT generate_series(1, %s::int)", [500], len)
    with together():
        some, none = Later(numbers), Later(Asked("SELECT 1 WHERE false", None, list))
    assert (some.told(), none.told()) == (500, [])


def test_counted_one_by_one():
    def several():
        with together():
            answers = [Later(more_than(number)) for number in range(3)]
        return [answer.told() for answer in answers]

    assert queries_of(several) == 3


def test_they_see_what_the_transaction_has_written():
    with connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE written_before (number int) ON COMMIT DROP")
        cursor.execute("INSERT INTO written_before VALUES (7)")
    with together():
        seen = Later(Asked("SELECT number FROM written_before", None, list))
    assert seen.told() == [(7,)]


@pytest.mark.parametrize("place", [0, 1])
def test_errors_are_djangos_and_the_connection_goes_on(place):
    asked = [more_than(1), more_than(2)]
    asked.insert(place, WRONG)
    with pytest.raises(ProgrammingError, match="nothing_of_that_name"):
        told(asked)
    with prepared_cursor() as cursor:
        cursor.execute("SELECT 1")
        assert cursor.fetchone() == (1,)


def test_refused_in_a_broken_transaction():
    with transaction.atomic():
        transaction.set_rollback(True)
        with pytest.raises(transaction.TransactionManagementError), together():
            Later(more_than(1))


def test_one_is_told_while_the_server_is_at_the_next():
    slow = Asked("SELECT clock_timestamp() FROM pg_sleep(0.5)", None, lambda rows: rows[0][0])
    ends = time.monotonic() + 0.5
    with in_turn() as meanwhile:
        quick, later = Later(more_than(1)), None
        meanwhile()
        later = Later(slow)
        assert quick.told() == 2
        left = ends - time.monotonic()
        later.told()
    assert left > 0.1  # of half a second
    assert time.monotonic() >= ends


def test_told_within_and_after_they_are_the_same():
    with in_turn() as meanwhile:
        first = Later(more_than(1))
        meanwhile()
        second, third = Later(more_than(2)), Later(more_than(3))
        assert (first.told(), third.told()) == (2, 4)
    assert second.told() == 3


def test_what_fails_is_raised_where_it_is_told():
    def wrong():
        with transaction.atomic(), in_turn() as meanwhile:
            failing = Later(WRONG)
            meanwhile()
            failing.told()

    with pytest.raises(ProgrammingError):
        wrong()
    assert more_than(1).answer() == 2
