from __future__ import annotations

from datetime import timedelta

import pytest
from django.db.models.functions import Now

from inventory.ground.jobs import wake
from inventory.ground.jobs.asking import ask
from inventory.ground.models import Job
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.jobs import kinds_for_tests  # noqa: F401 - importing registers them


@pytest.fixture
def person(db):
    return UserFactory()


@pytest.fixture
def asked(person):
    """A function that asks for a job: `asked("count", to=25)`."""

    def one(kind="count", slot="one", **arguments):
        return ask(kind=kind, slot=slot, arguments=arguments, by=person, at=AT)

    return one


@pytest.fixture
def sent(settings, monkeypatch):
    """As if there were a broker: the numbers of the jobs that were sent to workers."""
    settings.REDIS_URL = "redis://127.0.0.1:1/0"
    numbers = []
    monkeypatch.setattr(
        wake.current_app, "send_task", lambda name, args, retry: numbers.append(args[0])
    )
    return numbers


@pytest.fixture
def lapse():
    """A function that lets the lease of a job lapse, as if its worker had been killed."""

    def one(job):
        Job.objects.filter(pk=job.pk).update(lease_until=Now() - timedelta(seconds=1))

    return one
