"""A worker killed with -9, one child of it and then all: every chunk's effect is there once."""

from __future__ import annotations

import pytest

from tests.worker.house import kill, kill_all, wait_until

pytestmark = [pytest.mark.worker, pytest.mark.django_db(transaction=True)]


def test_a_killed_child_and_then_the_parent_with_its_children(house, ask_for, tally, is_done):
    worker = house.worker()
    job = ask_for()
    wait_until(lambda: len(tally(job)) >= 2, "the second chunk", house.log)
    kill(tally(job)[-1][1])
    assert is_done(job).attempt >= 2
    assert [chunk for chunk, _ in tally(job)] == list(range(8))
    assert len({process for _, process in tally(job)}) == 2
    assert job.rows_done == 8

    job = ask_for(slot="two")
    wait_until(lambda: len(tally(job)) >= 2, "the second chunk", house.log)
    kill_all(worker)
    assert len(tally(job)) < 8
    house.worker()
    assert is_done(job).attempt >= 2
    assert [chunk for chunk, _ in tally(job)] == list(range(8))
    assert job.rows_done == 8
