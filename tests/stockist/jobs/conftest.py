from __future__ import annotations

import pytest

from inventory.ground.jobs.asking import ask
from inventory.ground.jobs.running import run
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.jobs import kinds_for_tests  # noqa: F401 - importing registers them


@pytest.fixture(autouse=True)
def _without_a_broker(settings):
    settings.REDIS_URL = ""


@pytest.fixture
def asker(db):
    return UserFactory(username="asker")


@pytest.fixture
def waiting(asker):
    """A function that asks for a job: `waiting(to=25)`."""

    def one(kind="count", slot="one", **arguments):
        return ask(kind=kind, slot=slot, arguments=arguments, by=asker, at=AT)

    return one


@pytest.fixture
def ended(waiting):
    """A function that asks for a job, and runs it to its end."""

    def one(kind="count", slot="one", **arguments):
        job = waiting(kind, slot, **arguments)
        run(job.pk)
        job.refresh_from_db()
        return job

    return one
