"""A broker that goes away and loses all it carried, and clocks that ask twice."""

from __future__ import annotations

import pytest

from inventory.ground.models import Job
from stockist.schedule import NIGHT
from tests.worker.house import wait_until

pytestmark = [pytest.mark.worker, pytest.mark.django_db(transaction=True)]


def test_a_broker_that_is_stopped_and_started(house, broker, ask_for, tally, is_done):
    house.worker()
    first = ask_for(slot="before")
    wait_until(lambda: tally(first), "the first chunk", house.log)
    broker.stop()
    second = ask_for(slot="meanwhile")
    assert second.state == "waiting"
    wait_until(lambda: Job.objects.get(pk=first.pk).ended_at, "the end without it", house.log)
    broker.start(broker.port)
    for job in (first, second):
        is_done(job)
        assert [chunk for chunk, _ in tally(job)] == list(range(8))


def test_two_clocks_and_two_workers_at_once(house, ask_for, tally, is_done):
    house.worker()
    house.worker()
    jobs = [ask_for(slot=str(number), chunks=4) for number in range(3)]
    for job in jobs:
        assert [chunk for chunk, _ in tally(is_done(job))] == list(range(4))
    nights = Job.objects.filter(asked_by=None)
    wait_until(
        lambda: nights.filter(state="done").count() >= len(NIGHT), "the night's jobs", house.log
    )
    assert sorted(job.kind for job in nights) == sorted(daily.kind for daily in NIGHT)
    assert {job.attempt for job in nights} == {1}
