"""Deadlocks and their like are tried again, outside the transaction; other errors are not."""

from __future__ import annotations

import psycopg
import pytest
from django.contrib.auth.models import Group
from django.db import OperationalError, connection, transaction

from inventory.ground.refusal import Busy
from inventory.ground.retry import is_passing, retried
from tests.support.concurrency import at_once

Deadlock = psycopg.errors.DeadlockDetected
pytestmark = pytest.mark.django_db(transaction=True)


def failing(times: int, kind: type[psycopg.Error] = Deadlock):
    """Work that fails so often and then answers, and the list of its attempts."""
    attempts = []

    def work() -> str:
        attempts.append(1)
        if len(attempts) <= times:
            try:
                raise kind("no")
            except psycopg.Error as cause:
                raise OperationalError("no") from cause
        return "done"

    return work, attempts


@pytest.mark.parametrize("times", [0, 1, 3])
def test_up_to_three_failures_are_got_over(times):
    work, attempts = failing(times)
    assert retried(work, pause=lambda _: None) == "done"
    assert len(attempts) == times + 1


def test_the_fourth_is_told():
    work, attempts = failing(4)
    with pytest.raises(Busy, match="send it again"):
        retried(work, pause=lambda _: None)
    assert len(attempts) == 4


def test_the_pauses_grow():
    pauses = []
    with pytest.raises(Busy):
        retried(failing(4)[0], pause=pauses.append)
    assert len(pauses) == 3
    assert pauses == sorted(pauses)


def test_another_error_is_not_tried_again():
    work, attempts = failing(1, psycopg.errors.AdminShutdown)
    with pytest.raises(OperationalError):
        retried(work, pause=lambda _: None)
    assert len(attempts) == 1


def test_inside_a_transaction_the_outermost_must_do_it():
    work, attempts = failing(1)
    with pytest.raises(OperationalError), transaction.atomic():
        retried(work)
    assert len(attempts) == 1


@pytest.mark.parametrize(
    ("kind", "passing"),
    [
        (Deadlock, True),
        (psycopg.errors.SerializationFailure, True),
        (psycopg.errors.LockNotAvailable, True),
        (psycopg.errors.UniqueViolation, False),
    ],
)
def test_what_passes(kind, passing):
    error = OperationalError()
    error.__cause__ = kind("no")
    assert is_passing(error) is passing


def test_a_real_deadlock_between_two_people_is_got_over(db):
    Group.objects.bulk_create(Group(name=name) for name in "ab")

    def take(*names: str):
        def work():
            with transaction.atomic():
                for name in names:
                    Group.objects.select_for_update().get(name=name)
                    with connection.cursor() as cursor:
                        cursor.execute("SELECT pg_sleep(0.05)")
            return "done"

        return lambda: retried(work)

    assert at_once(take("a", "b"), take("b", "a")) == ["done", "done"]
