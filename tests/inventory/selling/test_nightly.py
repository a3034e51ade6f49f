"""The night ends what ran out, and sees to those who wait in vain."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inventory import tasks
from inventory.activities.holding import hold_pieces
from inventory.activities.preordering import queue
from inventory.availability import Need
from inventory.ground.jobs.kinds import Work
from inventory.models.hold import Hold
from inventory.models.preorder import PreOrder
from stockist import schedule
from tests.factories.buying import ExpectedDeliveryFactory
from tests.factories.catalogue import SkuFactory
from tests.factories.people import CustomerFactory, UserFactory
from tests.factories.sending import Shop, four_alike, held_as_lines_say
from tests.factories.when import AT

pytestmark = pytest.mark.django_db
WORK = Work(job_id=1, slot="", arguments={}, by=None, at=AT + timedelta(days=2))


def test_both_are_on_the_schedule():
    assert {"end-lapsed-holds", "queues"} <= {daily.kind for daily in schedule.NIGHT}


def test_holds_that_ran_out_are_ended_batch_by_batch(monkeypatch):
    monkeypatch.setattr(tasks, "_BATCH", 2)
    sku = SkuFactory()
    Shop().stock(9, sku=sku)
    told = {"customer": CustomerFactory(), "sku": sku, "quantity": 1, "by": UserFactory()}
    for days in (1, 1, 1, 3):
        hold_pieces(until=AT + timedelta(days=days), at=AT, **told)
    first = tasks.end_lapsed_holds(WORK, None)
    assert (first.done, first.cursor) == (2, {"so_far": 2})
    second = tasks.end_lapsed_holds(WORK, first.cursor)
    assert (second.done, second.cursor, second.result) == (1, None, "3 holds had run out.")
    assert Hold.objects.open().count() == 1
    assert held_as_lines_say()


def test_who_waits_in_vain_is_seen_to():
    sku = SkuFactory()
    gone = ExpectedDeliveryFactory(sku=sku, quantity=8)
    for if_short in ("wait", "give_up"):
        queue(
            customer=CustomerFactory(),
            need=Need(None, four_alike(sku)),
            what="four alike",
            promised_on=gone.expected_on,
            if_short=if_short,
            by=UserFactory(),
            at=AT,
        )
    gone.state, gone.ended_at, gone.ended_by = "cancelled", AT, gone.made_by
    gone.save()
    step = tasks.queues(WORK, None)
    assert step.result == "0 were served, 1 are to be told, 1 wait on."
    assert sorted(PreOrder.objects.values_list("state", flat=True)) == ["missed", "waiting"]
    assert tasks.queues(WORK, None).result == "0 were served, 0 are to be told, 1 wait on."
