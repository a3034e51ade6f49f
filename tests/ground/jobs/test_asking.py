"""Asking for a job, cancelling it, resuming it, running it again."""

from __future__ import annotations

import pytest
from django.db import connection, transaction
from kombu.exceptions import OperationalError

from inventory.ground.jobs import wake
from inventory.ground.jobs.asking import (
    CannotRunAgain,
    File,
    JobHasEnded,
    JobIsNotDone,
    JobIsNotStopped,
    ask,
    cancel,
    resume,
    run_again,
)
from inventory.ground.jobs.kinds import NoSuchKind, job_kind, kind_named
from inventory.ground.jobs.running import run
from inventory.ground.models import Job, JobFile
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.ground.jobs.kinds_for_tests import count, effects
from tests.support.concurrency import at_once

pytestmark = pytest.mark.django_db


def test_a_slot_has_one_job(asked, person):
    first = asked(to=3)
    again = ask(kind="count", slot="one", arguments={"to": 99}, by=UserFactory(), at=AT)
    assert again == first
    assert (again.arguments, again.asked_by) == ({"to": 3}, person)


def test_another_slot_has_another(asked):
    assert asked(slot="one", to=3) != asked(slot="two", to=3)


def test_an_unknown_kind_is_refused(asked):
    with pytest.raises(NoSuchKind, match=r"kind “counted”. Known are: .*forget-jobs, "):
        asked("counted")
    assert not Job.objects.exists()


def test_two_kinds_cannot_have_one_name():
    assert job_kind("count", title="Count")(count) is count
    with pytest.raises(TypeError, match="two kinds of job called count"):
        job_kind("count", title="Count otherwise")(lambda work, cursor: None)
    assert kind_named("count").step is count


def test_the_file_is_kept_with_its_digest(person):
    file = File("x" * 300 + ".csv", b"abc")
    for _ in range(2):
        job = ask(kind="count", slot="one", by=person, at=AT, file=file)
    kept = JobFile.objects.get()
    assert (kept.job, bytes(kept.content), len(kept.name)) == (job, b"abc", 200)
    assert kept.digest.startswith("ba7816bf")  # SHA-256 of "abc", FIPS 180-2 appendix B.1
    assert str(kept) == kept.name


def test_a_child_is_started_once_it_is_committed(
    asked, children, settings, django_capture_on_commit_callbacks
):
    settings.REDIS_URL = ""
    with django_capture_on_commit_callbacks(execute=True):
        asked(to=3)
        assert children == []
    assert len(children) == 1


def test_with_a_broker_its_number_is_sent(asked, sent, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        job = asked(to=3)
    assert sent == [job.pk]


def test_what_is_rolled_back_is_not_sent(asked, sent, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        asked(to=3)
        transaction.set_rollback(True)
    assert sent == []


def test_a_broker_that_is_away_harms_nobody(
    asked, settings, caplog, monkeypatch, django_capture_on_commit_callbacks
):
    settings.REDIS_URL = "redis://127.0.0.1:1/0"

    def away(*args, **kwargs):
        raise OperationalError("Connection refused")

    monkeypatch.setattr(wake.current_app, "send_task", away)
    with django_capture_on_commit_callbacks(execute=True):
        job = asked(to=3)
    assert job.state == "waiting"
    assert "waits for the sweep" in caplog.text


def test_a_cancelled_job_is_not_begun(asked, person):
    job = asked(to=25)
    cancelled = cancel(job_id=job.pk, by=person, at=AT)
    assert (cancelled.state, cancelled.cancelled_by, cancelled.ended_at) == (
        "cancelled",
        person,
        AT,
    )
    assert cancel(job_id=job.pk, by=UserFactory(), at=AT).cancelled_by == person
    assert run(job.pk) is None


def test_cancelling_takes_effect_between_chunks(asked, person):
    job = asked(to=25)
    run(job.pk, tell=lambda number: cancel(job_id=number, by=person, at=AT))
    job.refresh_from_db()
    assert (job.state, job.cursor, job.rows_done) == ("cancelled", 10, 10)
    assert effects() == ["0"]


def test_a_resumed_job_goes_on_where_it_stopped(asked, person):
    job = asked(to=25)
    run(job.pk, tell=lambda number: cancel(job_id=number, by=person, at=AT))
    resumed = resume(job_id=job.pk, by=person, at=AT)
    assert (resumed.state, resumed.cancelled_at, resumed.ended_at) == ("waiting", None, None)
    run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.rows_done, job.attempt) == ("done", 25, 2)
    assert effects() == ["0", "10", "20"]


def test_a_failed_job_may_be_resumed_and_forgets_why(asked, person):
    job = asked("stumble", how="refuse")
    run(job.pk)
    resumed = resume(job_id=job.pk, by=person, at=AT)
    assert (resumed.state, resumed.cursor, resumed.last_error) == ("waiting", 1, "")
    assert resume(job_id=job.pk, by=person, at=AT) == resumed


def test_what_is_done_can_be_neither_cancelled_nor_resumed(asked, person):
    job = asked(to=3)
    run(job.pk)
    with pytest.raises(JobHasEnded, match="This job is done already"):
        cancel(job_id=job.pk, by=person, at=AT)
    with pytest.raises(JobIsNotStopped):
        resume(job_id=job.pk, by=person, at=AT)


def test_a_job_that_is_done_is_run_again_as_another(asked, person):
    job = asked(to=3)
    with pytest.raises(JobIsNotDone):
        run_again(job_id=job.pk, by=person, at=AT)
    run(job.pk)
    again = run_again(job_id=job.pk, by=person, at=AT)
    assert (again.slot, again.arguments, again.state) == ("one again 1", {"to": 3}, "waiting")
    assert run_again(job_id=job.pk, by=UserFactory(), at=AT) == again
    run(again.pk)
    assert run_again(job_id=again.pk, by=person, at=AT).slot == "one again 2"


def test_some_kinds_are_done_once(asked, person):
    job = asked("stumble", how="refuse")
    run(job.pk)
    with pytest.raises(CannotRunAgain):
        run_again(job_id=job.pk, by=person, at=AT)


@pytest.mark.django_db(transaction=True)
def test_eight_who_ask_at_once_get_one_job(sent):
    person = UserFactory()

    def one():
        return ask(kind="count", slot="one", arguments={"to": 3}, by=person, at=AT)

    assert set(at_once(*[one] * 8)) == {Job.objects.get()}


@pytest.mark.django_db(transaction=True)
def test_cancelling_while_a_chunk_is_under_way_undoes_it(someone_else, sent, monkeypatch):
    person = UserFactory()
    job = ask(kind="count", slot="one", arguments={"to": 25}, by=person, at=AT)

    def cancelled_meanwhile(work, cursor):
        step = count(work, cursor)
        if cursor == 10:
            someone_else(lambda: cancel(job_id=job.pk, by=person, at=AT))
        return step

    object.__setattr__(kind_named("count"), "step", cancelled_meanwhile)
    try:
        run(job.pk)
    finally:
        object.__setattr__(kind_named("count"), "step", count)
    job.refresh_from_db()
    assert (job.state, job.cursor, job.rows_done) == ("cancelled", 10, 10)
    assert effects() == ["0"]
    assert not connection.in_atomic_block
