"""The night's housekeeping."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from inventory.ground.jobs import housekeeping
from inventory.ground.jobs.asking import File, ask
from inventory.ground.jobs.running import run
from inventory.ground.models import IdempotencyKey, Job, JobFile
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2030, 1, 1, tzinfo=UTC)


def tidy(kind, slot="night"):
    job = ask(kind=kind, slot=slot, by=None, at=NOW)
    run(job.pk)
    job.refresh_from_db()
    assert job.state == "done", job.last_error
    return job


def ended(slot, days_ago, state="failed"):
    job = ask(kind="count", slot=slot, by=None, at=NOW, file=File("a.csv", b"a"))
    Job.objects.filter(pk=job.pk).update(state=state, ended_at=NOW - timedelta(days=days_ago))
    return job


def test_keys_of_more_than_thirty_days_ago_are_forgotten():
    for days in (29, 31, 400):
        key = IdempotencyKey.objects.create(actor=UserFactory(), key="k", route="r", body="b")
        moment = NOW - timedelta(days=days)
        IdempotencyKey.objects.filter(pk=key.pk).update(received_at=moment)
    job = tidy("forget-keys")
    assert (job.rows_done, job.result) == (2, "2 keys were forgotten.")
    assert IdempotencyKey.objects.count() == 1


def test_old_jobs_go_and_the_files_of_stopped_ones_before_them():
    young, stale, old = (ended(str(days), days) for days in (13, 15, 401))
    waiting = ask(kind="count", slot="waiting", by=None, at=NOW, file=File("a.csv", b"a"))
    tidy("forget-jobs")
    assert set(Job.objects.filter(kind="count")) == {young, stale, waiting}
    assert set(JobFile.objects.values_list("job", flat=True)) == {young.pk, waiting.pk}
    assert not Job.objects.filter(pk=old.pk).exists()


def test_many_go_in_chunks(monkeypatch):
    monkeypatch.setattr(housekeeping, "_BATCH", 2)
    for number in range(5):
        ended(str(number), 500)
    assert tidy("forget-jobs").rows_done == 5
    assert not Job.objects.filter(kind="count").exists()
