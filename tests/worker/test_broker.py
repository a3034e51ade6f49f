"""A broker that goes away and loses all it carried, under two workers with two clocks."""

from __future__ import annotations

import pytest

from inventory.ground.models import Job
from stockist.schedule import NIGHT
from tests.worker.house import wait_until

pytestmark = [pytest.mark.worker, pytest.mark.django_db(transaction=True)]


def test_two_clocks_and_a_broker_that_is_stopped_and_started(
    house, broker, ask_for, tally, is_done
):
    workers = [house.worker(), house.worker()]
    first = [ask_for(slot=f"before {number}", chunks=6) for number in range(3)]
    wait_until(lambda: any(map(tally, first)), "the first chunk", house.log)
    broker.stop()
    second = ask_for(slot="meanwhile", chunks=4)
    assert second.state == "waiting"
    assert tally(second) == []
    broker.start(broker.port)
    for worker in workers:
        if worker.poll() is not None:  # ended for want of a broker: who runs the house starts one
            house.worker()
    for job, chunks in [*((job, 6) for job in first), (second, 4)]:
        assert [chunk for chunk, _ in tally(is_done(job))] == list(range(chunks))
        assert job.rows_done == chunks

    nights = Job.objects.filter(asked_by=None)
    wait_until(
        lambda: nights.filter(state="done").count() >= len(NIGHT), "the night's jobs", house.log
    )
    assert sorted(job.kind for job in nights) == sorted(daily.kind for daily in NIGHT)
