"""The sweep: what the clock asks for is made once, what is due is sent, lost or not."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db.models.functions import Now
from django.utils import timezone

from inventory.ground.jobs import claims, wake
from inventory.ground.jobs.asking import ask
from inventory.ground.jobs.running import run
from inventory.ground.jobs.schedule import Daily
from inventory.ground.jobs.sweep import make, sweep
from inventory.ground.models import Job
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.jobs.kinds_for_tests import effects
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db
NIGHT = Daily("count", time(3, 10), {"to": 3})


def long_ago(*jobs):
    for job in jobs:
        Job.objects.filter(pk=job.pk).update(sent_at=Now() - timedelta(hours=1))


@pytest.mark.parametrize(
    ("clock", "day"), [((3, 9), 22), ((3, 10), 23), ((23, 59), 23), ((0, 0), 22)]
)
def test_a_day_s_job_is_due_until_the_next_one_is(clock, day):
    assert NIGHT.day_at(datetime(2026, 11, 23, *clock)) == date(2026, 11, day)


def test_the_clock_asks_once_a_day_however_often_it_is_swept(sent):
    for minute in range(3):
        sweep([NIGHT], at=AT + timedelta(minutes=minute))
    job = Job.objects.get()
    assert (job.kind, job.slot, job.asked_by) == ("count", "2026-11-23", None)
    sweep([NIGHT], at=AT + timedelta(days=1))
    assert {job.slot for job in Job.objects.all()} == {"2026-11-23", "2026-11-24"}


def test_a_week_without_a_clock_is_not_done_seven_times(sent):
    sweep([NIGHT], at=AT)
    sweep([NIGHT], at=AT + timedelta(days=7))
    assert [job.slot for job in Job.objects.order_by("pk")] == ["2026-11-23", "2026-11-30"]


def test_days_are_the_shop_s_own(sent):
    # 02:30 in London in summer is 01:30 in UTC
    sweep([Daily("count", time(2, 15))], at=datetime(2026, 7, 1, 1, 30, tzinfo=UTC))
    assert Job.objects.get().slot == "2026-07-01"


def test_a_day_s_job_may_be_made_before_its_time(sent):
    job = make(NIGHT, date(2026, 11, 24), at=AT)
    sweep([NIGHT], at=AT + timedelta(days=1))
    assert make(NIGHT, date(2026, 11, 24), at=AT) == job
    assert Job.objects.filter(slot="2026-11-24").count() == 1


def test_what_was_sent_just_now_is_not_sent_again(asked, sent):
    job = asked(to=3)
    assert sweep([], at=AT) == []
    long_ago(job)
    assert sweep([], at=AT) == [job.pk]
    assert sweep([], at=AT) == []
    assert sent == [job.pk]


def test_what_a_killed_worker_left_is_sent_once_its_lease_has_lapsed(asked, sent, lapse):
    job = asked(to=25)
    long_ago(job)
    claims.claim(job.pk)
    assert sweep([], at=AT) == []
    lapse(job)
    assert sweep([], at=AT) == [job.pk]


def test_what_has_ended_or_is_not_due_is_left_alone(asked, sent):
    done, early = asked(slot="done", to=1), asked(slot="early", to=1)
    run(done.pk)
    Job.objects.filter(pk=early.pk).update(due_at=Now() + timedelta(hours=1))
    long_ago(done, early)
    assert sweep([], at=AT) == []


def test_without_a_broker_nothing_is_sent(asked, settings, monkeypatch):
    settings.REDIS_URL = ""
    monkeypatch.setattr(wake, "current_app", None)
    long_ago(asked(to=1))
    assert len(sweep([], at=AT)) == 1


def test_a_nudge_starts_a_child_only_where_something_is_due(asked, children, settings):
    settings.REDIS_URL = ""
    wake.nudge()
    assert children == []
    job = asked(to=1)
    wake.nudge()
    assert len(children) == 1
    run(job.pk)
    wake.nudge()
    assert len(children) == 1


def test_with_a_broker_a_nudge_does_nothing(asked, children, sent):
    asked(to=1)
    wake.nudge()
    assert children == sent == []


@pytest.mark.django_db(transaction=True)
def test_two_clocks_at_once_make_one_job_and_send_it_once(sent):
    at_once(*[lambda: sweep([NIGHT], at=AT)] * 4)
    job = Job.objects.get()
    long_ago(job)
    sent.clear()
    at_once(*[lambda: sweep([NIGHT], at=AT)] * 4)
    assert sent == [job.pk]


@pytest.mark.django_db(transaction=True)
def test_eight_workers_at_once_do_each_job_once(sent):
    person = UserFactory()
    jobs = [
        ask(kind="count", slot=str(n), arguments={"to": 15}, by=person, at=timezone.now())
        for n in range(4)
    ]

    def work():
        taken = []
        while (number := run()) is not None:
            taken.append(number)
        return taken

    taken = [number for each in at_once(*[work] * 8) for number in each]
    assert sorted(taken) == sorted(job.pk for job in jobs)
    assert sorted(effects()) == ["0"] * 4 + ["10"] * 4


@pytest.mark.django_db(transaction=True)
def test_a_chunk_that_takes_longer_than_the_lease_stays_its_worker_s(sent, settings, someone_else):
    settings.JOB_LEASE = timedelta(seconds=0.6)
    job = ask(kind="sleep", slot="one", by=UserFactory(), at=AT)
    first = someone_else.start(lambda: run(job.pk))
    tries = []
    while not Job.objects.filter(state="running").exists():
        pass
    while not first.done():
        tries.append(run(job.pk))
    assert first.result() == job.pk
    assert set(tries) == {None}
    assert effects() == ["0"]


@pytest.mark.django_db(transaction=True)
def test_a_hung_chunk_loses_its_job(sent, settings, someone_else):
    settings.JOB_LEASE = timedelta(seconds=0.3)
    settings.JOB_LONGEST_CHUNK = timedelta(0)
    job = ask(kind="sleep", slot="one", by=UserFactory(), at=AT)
    first = someone_else.start(lambda: run(job.pk))
    held = None
    while held is None and not first.done():
        held = claims.claim(job.pk) if Job.objects.get().attempt else None
    assert held.attempt == 2
    first.result()
    assert effects() == []
