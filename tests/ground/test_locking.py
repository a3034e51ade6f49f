"""A row that was waited for comes with what it points to now."""

from __future__ import annotations

import threading

import pytest
from django.db import connection, transaction

from inventory.ground.locking import locked_row, locked_rows
from inventory.models.delivery import Delivery
from tests.factories.buying import delivery_of, sent_order
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db(transaction=True)
ROWS = Delivery.objects.select_related("at_work_by", "ended_by")


@pytest.fixture
def delivery():
    by = UserFactory()
    return delivery_of(sent_order(1, by=by), by=by)


def pid() -> int:
    """Of the server's process at work for this thread."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        return cursor.fetchone()[0]


def waits(process: int) -> bool:
    """Whether a connection waits for somebody's lock."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT cardinality(pg_blocking_pids(%s)) > 0", [process])
        return cursor.fetchone()[0]


@pytest.mark.parametrize(
    "read",
    [lambda pk: locked_row(ROWS, pk), lambda pk: locked_rows(ROWS, [pk])[pk]],
    ids=["one", "several"],
)
def test_a_row_that_was_waited_for_is_read_anew_with_what_it_points_to(
    delivery, someone_else, read
):
    other, told = UserFactory(username="anna"), {}

    def wait_for_it():
        told["pid"] = pid()
        begun.set()
        with transaction.atomic():
            return read(delivery.pk)

    begun = threading.Event()
    with transaction.atomic():
        Delivery.objects.filter(pk=delivery.pk).update(at_work_by=other)
        waiting = someone_else.start(wait_for_it)
        assert begun.wait(10)
        while not waits(told["pid"]):
            assert not waiting.done()
    found = waiting.result(10)
    assert found.at_work_by.username == "anna"
    assert found.ended_by is None


def test_one_that_is_gone_is_not_there(delivery):
    with transaction.atomic():
        with pytest.raises(Delivery.DoesNotExist):
            locked_row(ROWS, delivery.pk + 1)
        assert list(locked_rows(ROWS, [delivery.pk + 1, delivery.pk])) == [delivery.pk]
