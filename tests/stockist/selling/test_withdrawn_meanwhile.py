"""An approval is withdrawn while the counter is promising: no promise comes after it."""

from __future__ import annotations

import threading

import pytest
from django.db import connection, transaction
from django.utils import timezone

from fitments.activities.approvals import withdraw
from fitments.lookup.standing import held_since
from fitments.models.approval import Approval, ApprovalVersion
from inventory.models.hold import Hold
from tests.factories.approvals import ApprovalFactory
from tests.factories.people import UserFactory
from tests.stockist.selling.conftest import ANSWER, body, day, hidden
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def approved(car):
    return [
        ApprovalFactory(listed=True, vehicle_line=car.vehicle_line, axle=axle, code=f"AP-{axle}")
        for axle in ("front", "rear")
    ]


@pytest.fixture
def owner():
    return UserFactory()


def withdraw_all(owner):
    at = timezone.now()
    for one in Approval.objects.order_by("code"):
        withdraw(approval=one, why="the maker's letter of today", by=owner, at=at)


def hold(client, said, key):
    return client.post(
        "/holds/new/",
        {"idempotency_key": key, "until": day(3), **said, "shown": "", "name": f"Buyer {key}"},
    )


def told(counter):
    page = body(counter.get(ANSWER))
    return {name: hidden(page, name) for name in ("asked", "offer", "shown")}


def test_who_promises_after_it_is_told(counter, car, shelf, approved, owner):
    said = told(counter)
    withdraw_all(owner)
    answer = hold(counter, said, "a")
    assert "its approval was withdrawn (AP-front by" in body(answer, 409)
    assert not Hold.objects.exists()


def test_a_promise_under_way_comes_first_and_the_withdrawal_after_it(
    counter, car, shelf, approved, owner, someone_else
):
    with transaction.atomic():
        promised = held_since()
        waiting = someone_else.start(lambda: withdraw_all(owner))
        assert not waiting.done()
        with pytest.raises(TimeoutError):
            waiting.result(0.3)
    waiting.result(30)
    known = ApprovalVersion.objects.filter(withdrawn_on__isnull=False)
    assert all(promised < version.known.lower for version in known)
    assert known.count() == 2


def test_a_promise_waits_for_a_withdrawal_under_way_and_is_told(
    counter, car, shelf, approved, owner, someone_else
):
    said, withdrawn, go_on = told(counter), threading.Event(), threading.Event()

    def slowly():
        with transaction.atomic():
            withdraw_all(owner)
            withdrawn.set()
            assert go_on.wait(30)

    under_way = someone_else.start(slowly)
    assert withdrawn.wait(30)
    threading.Timer(0.3, go_on.set).start()
    answer = hold(counter, said, "a")  # begins before the withdrawal is committed
    under_way.result(30)
    assert "its approval was withdrawn (AP-front by" in body(answer, 409)
    assert not Hold.objects.exists()


def test_seven_promise_while_one_withdraws(signed_in, counter, car, shelf, approved, owner):
    said = told(counter)
    answers = at_once(
        *[lambda n=n: hold(counter, said, f"k{n}").status_code for n in range(6)],
        lambda: withdraw_all(owner),
        lambda: hold(counter, said, "k6").status_code,
    )
    assert not [one for one in answers if isinstance(one, Exception)], answers
    withdrawn = ApprovalVersion.objects.filter(withdrawn_on__isnull=False)
    first = min(version.known.lower for version in withdrawn)
    for one in Hold.objects.order_by("pk"):
        assert one.made_at < first
    assert hold(counter, said, "late").status_code == 409


def test_outside_a_transaction_nobody_is_kept_waiting(owner, approved):
    assert held_since() <= held_since()
    withdraw_all(owner)
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND classid = %s",
                       [20261])  # fmt: skip
        assert cursor.fetchone()[0] == 0
