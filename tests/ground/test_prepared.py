"""Statements planned once a connection: like any other cursor, only quicker."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, ProgrammingError, connection, transaction

from inventory.ground.prepared import prepared_cursor
from tests.support.counting import queries_of

pytestmark = pytest.mark.django_db
QUERY = "SELECT %s::bigint + 1 AS more"


def ask(number):
    with prepared_cursor() as cursor:
        cursor.execute(QUERY, [number])
        return cursor.fetchone()[0]


def prepared():
    with connection.cursor() as cursor:
        cursor.execute("SELECT statement FROM pg_prepared_statements")
        return [statement for (statement,) in cursor.fetchall() if "AS more" in statement]


def test_planned_once_however_often_it_is_asked():
    assert [ask(number) for number in (1, 2, 3)] == [2, 3, 4]
    assert len(prepared()) == 1


def test_planned_for_any_values_at_once():
    """Never for each anew, as the server would where one key is asked for and it expects ten."""
    for number in range(1, 8):
        with prepared_cursor() as cursor:
            cursor.execute("SELECT name FROM inventory_site WHERE id = ANY(%s)", [[number]])
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT generic_plans, custom_plans FROM pg_prepared_statements "
            "WHERE statement LIKE '%%FROM inventory_site WHERE id%%'"
        )
        assert cursor.fetchall() == [(7, 0)]


def test_counted_like_any_query():
    assert queries_of(lambda: ask(1)) == 1


def test_errors_are_djangos():
    with pytest.raises(ProgrammingError), transaction.atomic(), prepared_cursor() as cursor:
        cursor.execute("SELECT nothing_of_that_name")
    with pytest.raises(IntegrityError), transaction.atomic(), prepared_cursor() as cursor:
        cursor.execute("INSERT INTO ground_idempotencykey (key) VALUES (NULL)")
    assert ask(1) == 2


def test_refused_in_a_broken_transaction():
    with transaction.atomic():
        transaction.set_rollback(True)
        with pytest.raises(transaction.TransactionManagementError):
            ask(1)


def test_values_are_never_part_of_the_statement():
    with prepared_cursor() as cursor:
        cursor.execute("SELECT %s::text", ["'; DROP TABLE x; --"])
        assert cursor.fetchone() == ("'; DROP TABLE x; --",)
