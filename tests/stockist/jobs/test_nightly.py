"""The night's jobs: what is scheduled, and the command that runs it and waits."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.utils import timezone

from inventory.ground.jobs import claims, timing
from inventory.ground.jobs.kinds import every_kind
from inventory.ground.jobs.schedule import Daily
from inventory.ground.models import Job
from stockist import schedule, tasks
from stockist.management.commands import nightly
from tests.ground.jobs.kinds_for_tests import effects

pytestmark = pytest.mark.django_db


@pytest.fixture
def night(monkeypatch):
    """A function that says what the night has to do."""

    def has(*jobs):
        for module in (nightly, tasks):
            monkeypatch.setattr(module, "NIGHT", jobs)

    return has


@pytest.fixture
def run_night(capsys):
    """Run it; the lines it printed."""

    def one():
        call_command("nightly")
        return capsys.readouterr().out.splitlines()

    return one


def housekeeping(kind="forget-keys", hour=3):
    return Daily(kind, timezone.datetime(2026, 1, 1, hour).time())


def test_every_kind_that_is_scheduled_is_there():
    assert {daily.kind for daily in schedule.NIGHT} <= set(every_kind())


def test_a_kind_is_scheduled_once():
    kinds = [daily.kind for daily in schedule.NIGHT]
    assert len(kinds) == len(set(kinds))


def test_a_spell_and_its_last_chunk_end_before_the_worker_is_stopped():
    longest = timing.spell() + timing.longest_chunk()
    assert longest < timedelta(seconds=settings.CELERY_TASK_SOFT_TIME_LIMIT)


def test_the_clock_s_task_makes_the_night_s_jobs():
    tasks.sweep_jobs()
    tasks.sweep_jobs()
    assert {job.kind for job in Job.objects.all()} == {daily.kind for daily in schedule.NIGHT}
    assert Job.objects.count() == len(schedule.NIGHT)


def test_the_night_is_done_and_told(run_night):
    told = run_night()
    assert {job.state for job in Job.objects.all()} == {"done"}
    assert [line for line in told if line.startswith("Forget")] == [
        "Forget old idempotency keys: done; 0 keys were forgotten.",
        "Forget old jobs and their files: done; Jobs of over a year ago were forgotten, and files "
        "of a fortnight ago.",
    ]


def test_a_second_night_on_one_day_does_nothing_twice(run_night):
    run_night()
    run_night()
    assert {job.attempt for job in Job.objects.all()} == {1}


def test_progress_is_printed_chunk_by_chunk(night, run_night, asker):
    job = make_count(night, asker)
    assert [line for line in run_night() if "running" in line] == [
        "Count: to 25: running; 10 of 25 rows; counting from 0",
        "Count: to 25: running; 20 of 25 rows; counting from 10",
    ]
    job.refresh_from_db()
    assert job.state == "done"


def make_count(night, asker, kind="count"):
    daily = Daily(kind, timezone.datetime(2026, 1, 1, 3).time(), {"to": 25, "how": "refuse"})
    night(daily)
    job = nightly.make(daily, timezone.localdate(), at=timezone.now())
    Job.objects.filter(pk=job.pk).update(asked_by=asker)
    return job


def test_a_job_that_failed_ends_it_with_an_error_and_is_resumed_the_next_time(night, asker):
    job = make_count(night, asker, "stumble")
    for attempt in (1, 2):
        with pytest.raises(CommandError, match="1 of 1 jobs of the night failed"):
            call_command("nightly")
        job.refresh_from_db()
        assert (job.state, job.attempt) == ("failed", attempt)
    assert effects() == ["0"]


def test_a_job_in_other_hands_is_waited_for(night, asker, monkeypatch):
    job = make_count(night, asker)
    held = claims.claim(job.pk)
    waited = []

    def wait(seconds):
        waited.append(seconds)
        claims.record(held, claims.Step(done=1, result="By the other."))

    monkeypatch.setattr(nightly.time, "sleep", wait)
    call_command("nightly")
    job.refresh_from_db()
    assert (job.state, job.attempt, len(waited)) == ("done", 1, 1)
