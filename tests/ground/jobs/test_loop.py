"""One process that works off what is due, and only one."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import OperationalError
from django.db.models.functions import Now

from inventory.ground.jobs import alone, claims, loop, wake
from inventory.ground.jobs.asking import ask
from inventory.ground.models import Job
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.jobs.kinds_for_tests import effects

pytestmark = pytest.mark.django_db


def no_pause(seconds):
    pytest.fail(f"it waited for {seconds} s")


def test_everything_due_is_done_and_then_it_ends(asked):
    jobs = [asked(slot=str(n), to=15) for n in range(3)]
    assert loop.work_off(pause=no_pause) == 3
    assert {job.state for job in Job.objects.all()} == {"done"}
    assert len(effects()) == 2 * len(jobs)


def test_with_nothing_to_do_it_ends(db):
    assert loop.soonest() is None
    assert loop.work_off(pause=no_pause) == 0


def test_it_waits_for_what_is_due_soon(asked):
    job = asked(to=3)
    Job.objects.filter(pk=job.pk).update(due_at=Now() + timedelta(seconds=30))
    waited = []

    def pause(seconds):
        waited.append(seconds)
        Job.objects.filter(pk=job.pk).update(due_at=Now())

    assert loop.work_off(pause=pause) == 1
    assert waited == [2.0]


def test_it_does_not_wait_for_tomorrow(asked):
    job = asked(to=3)
    Job.objects.filter(pk=job.pk).update(due_at=Now() + timedelta(days=1))
    assert loop.work_off(pause=no_pause) == 0


def test_it_waits_for_a_job_in_other_hands_that_might_be_left(asked, lapse):
    job = asked(to=3)
    claims.claim(job.pk)
    assert loop.work_off(pause=lambda seconds: lapse(job)) == 1
    assert effects() == ["0"]


@pytest.mark.django_db(transaction=True)
def test_there_is_only_one(children, settings, someone_else):
    settings.REDIS_URL = ""
    person = UserFactory()
    with alone.only_one() as mine:
        assert mine
        assert someone_else(alone.somebody_works)
        ask(kind="count", slot="one", arguments={"to": 3}, by=person, at=AT)
        assert children == []  # the one there is will find it
        assert someone_else(loop.work_off) == 0
    assert not someone_else(alone.somebody_works)
    assert loop.work_off() == 1


@pytest.mark.django_db(transaction=True)
def test_what_is_asked_for_as_it_ends_is_not_left_behind(settings, monkeypatch, children):
    settings.REDIS_URL = ""
    person = UserFactory()
    plain, asked = loop._while_any, []

    def then_asked(pause):
        taken = plain(pause)
        if not asked:
            asked.append(ask(kind="count", slot="one", arguments={"to": 3}, by=person, at=AT))
        return taken

    monkeypatch.setattr(loop, "_while_any", then_asked)
    assert loop.work_off() == 1
    assert children == []
    assert Job.objects.get().state == "done"


def test_a_database_that_goes_away_is_waited_for(monkeypatch):
    answers = [OperationalError("gone"), OperationalError("gone"), 7]
    monkeypatch.setattr(loop.connection, "close", lambda: None)

    def work():
        answer = answers.pop(0)
        if isinstance(answer, Exception):
            raise answer
        return answer

    assert loop.patiently(work, pause=lambda seconds: None) == 7


def test_but_not_for_ever(monkeypatch):
    monkeypatch.setattr(loop, "_PATIENCE_WITH_DATABASE", -1)
    monkeypatch.setattr(loop.connection, "close", lambda: None)

    def gone():
        raise OperationalError("gone")

    with pytest.raises(OperationalError):
        loop.patiently(gone, pause=no_pause)


def test_the_command_says_what_it_did_if_asked(asked, capsys):
    asked(to=3)
    call_command("work_jobs", verbosity=2)
    assert capsys.readouterr().out == "Jobs were taken up 1 times.\n"


def test_children_that_ended_are_let_go(children, settings, asked):
    settings.REDIS_URL = ""
    asked(to=1)
    for _ in range(3):
        wake.start_child()
    assert len(children) == 3
    assert wake._children == children[-1:]
