from __future__ import annotations

import pytest
from celery import Celery
from django.db import connection
from django.utils import timezone

from inventory.ground.jobs import wake
from inventory.ground.jobs.asking import ask
from inventory.ground.models import Job
from tests.factories.people import UserFactory
from tests.worker import tasks
from tests.worker.house import Broker, House, address_of, wait_until


@pytest.fixture
def broker():
    """A real broker, stopped afterwards."""
    broker = Broker()
    yield broker
    broker.stop()


@pytest.fixture
def tally(transactional_db):
    """The table of what chunks did; answers the lines of a job, committed ones only."""
    with connection.cursor() as cursor:
        cursor.execute(tasks.TABLE)

    def lines(job):
        with connection.cursor() as cursor:
            cursor.execute("SELECT chunk, process FROM tally WHERE job = %s", [job.pk])
            return sorted(cursor.fetchall())

    yield lines
    with connection.cursor() as cursor:
        cursor.execute("DROP TABLE tally")


@pytest.fixture
def house(broker, tally, tmp_path, settings, monkeypatch):
    """A house with a broker: this process asks, workers work, all on the test database."""
    settings.REDIS_URL = broker.url
    sender = Celery("asking", broker=broker.url, set_as_current=False)
    monkeypatch.setattr(wake, "current_app", sender)
    house = House(tmp_path, address_of(connection.settings_dict), broker.url)
    yield house
    house.end()
    sender.close()


@pytest.fixture
def ask_for(tally):
    """A function that asks for a job of so many chunks."""

    def one(chunks=8, pause=0.15, slot="one"):
        arguments = {"chunks": chunks, "pause": pause}
        by = UserFactory(username=f"asks-{slot}")
        return ask(kind="tally", slot=slot, arguments=arguments, by=by, at=timezone.now())

    return one


@pytest.fixture
def is_done(house):
    """A function that waits until a job is done, and answers it."""

    def wait(job):
        wait_until(lambda: Job.objects.get(pk=job.pk).ended_at, f"the end of {job}", house.log)
        job.refresh_from_db()
        assert job.state == "done", f"{job.last_error}\n{house.log.read_text()[-4000:]}"
        return job

    return wait
