"""One job, chunk by chunk, and every way in which it may end."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db.models.functions import Now

from inventory.ground.jobs import claims, running, timing
from inventory.ground.jobs.running import run
from inventory.ground.models import Job
from tests.ground.jobs.kinds_for_tests import effects

pytestmark = pytest.mark.django_db


def test_a_job_is_done_chunk_by_chunk(asked):
    job = asked(to=25)
    assert run(job.pk) == job.pk
    job.refresh_from_db()
    assert (job.state, job.attempt, job.cursor) == ("done", 1, None)
    assert (job.rows_done, job.rows_failed, job.rows_total) == (25, 0, 25)
    assert job.result == "Counted to 25."
    assert job.lease_until is None
    assert job.started_at < job.ended_at
    assert effects() == ["0", "10", "20"]


def test_what_is_done_is_not_done_again(asked):
    job = asked(to=5)
    run(job.pk)
    assert run(job.pk) is None
    assert effects() == ["0"]


def test_the_first_due_is_taken_where_none_is_named(asked):
    second, first = asked(slot="later", to=1), asked(slot="sooner", to=1)
    Job.objects.filter(pk=second.pk).update(due_at=Now() - timedelta(seconds=1))
    Job.objects.filter(pk=first.pk).update(due_at=Now() - timedelta(hours=1))
    assert [run(), run(), run()] == [first.pk, second.pk, None]


def test_nothing_is_done_before_it_is_due(asked):
    job = asked(to=1)
    Job.objects.filter(pk=job.pk).update(due_at=Now() + timedelta(hours=1))
    assert run(job.pk) is None
    assert run() is None


def test_what_is_wrong_with_a_row_is_kept(asked):
    job = asked(to=25, wrong=[3, 12, 13])
    run(job.pk)
    job.refresh_from_db()
    assert (job.rows_done, job.rows_failed) == (22, 3)
    assert [str(each) for each in job.row_failures.all()] == [
        f"row {row}, oddness: this row is odd." for row in (3, 12, 13)
    ]


def test_whoever_looks_on_is_told_after_each_chunk(asked):
    told = []
    job = asked(to=25)
    run(job.pk, tell=told.append)
    assert told == [job.pk] * 3


def test_a_refusal_ends_it_with_its_sentence_and_leaves_what_was_done(asked):
    job = asked("stumble", how="refuse")
    run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.cursor, job.rows_done) == ("failed", 1, 1)
    assert job.last_error == "That is more than there is: ask for less."
    assert effects() == ["0"]


def test_a_step_may_stop_and_say_where_to_go_on(asked):
    job = asked("stumble", how="stop")
    run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.cursor, job.last_error) == ("failed", 1, "It stops here.")
    assert effects() == ["0", "1"]


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("stumble", "nobody foresaw: ZeroDivisionError: nothing to share  out."),
        ("busy", "Others were booking the same stock"),
        ("database", "This key was used already."),
    ],
)
def test_what_nobody_foresaw_is_tried_again_after_a_pause(asked, how, words, monkeypatch):
    monkeypatch.setattr("time.sleep", lambda seconds: None)
    job = asked("stumble", how=how)
    run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.cursor, job.failures) == ("waiting", 1, 1)
    assert words in job.last_error
    assert run(job.pk) is None  # it rests
    assert effects() == ["0"]


def test_it_is_given_up_after_the_last_time_and_the_pauses_grow(asked):
    job = asked("stumble", how="stumble")
    pauses = []
    for _ in range(timing.MOST_FAILURES):
        Job.objects.filter(pk=job.pk).update(due_at=Now())
        run(job.pk)
        job.refresh_from_db()
        pauses.append(job.state)
    assert pauses == ["waiting"] * 4 + ["failed"]
    assert timing.pause_after(3) == 9 * timing.pause_after(1)


def test_an_unknown_kind_fails_in_words(asked):
    job = asked(to=1)
    Job.objects.filter(pk=job.pk).update(kind="of-old")
    run(job.pk)
    job.refresh_from_db()
    assert job.state == "failed"
    assert "no job of the kind “of-old”" in job.last_error


def test_after_a_spell_others_have_a_turn(
    asked, settings, sent, django_capture_on_commit_callbacks
):
    settings.JOB_SPELL = timedelta(0)
    job = asked(to=25)
    with django_capture_on_commit_callbacks(execute=True):
        run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.cursor) == ("waiting", 10)
    assert sent == [job.pk]
    run(job.pk)
    run(job.pk)
    job.refresh_from_db()
    assert (job.state, job.attempt) == ("done", 3)
    assert effects() == ["0", "10", "20"]


def test_a_chunk_whose_job_was_taken_up_by_another_leaves_nothing(asked, lapse, monkeypatch):
    job = asked(to=25)
    stale = claims.claim(job.pk)
    lapse(job)
    fresh = claims.claim(job.pk)
    assert (stale.attempt, fresh.attempt) == (1, 2)
    with pytest.raises(claims.Lost):
        running._chunk(stale, running.kind_named("count"))
    assert effects() == []
    running._chunk(fresh, running.kind_named("count"))
    assert effects() == ["0"]


def test_a_job_taken_away_in_the_middle_of_a_chunk_rolls_it_back(asked, monkeypatch):
    job = asked(to=25)
    plain = claims.record

    def late(held, step):
        Job.objects.filter(pk=job.pk).update(attempt=99)
        plain(held, step)

    monkeypatch.setattr(claims, "record", late)
    run(job.pk)
    assert effects() == []


def test_a_job_whose_worker_is_killed_each_time_is_given_up(asked, lapse):
    job = asked(to=25)
    for attempt in range(1, timing.MOST_FAILURES + 1):
        assert claims.claim(job.pk).attempt == attempt
        lapse(job)
    assert claims.claim(job.pk) is None
    job.refresh_from_db()
    assert job.state == "failed"
    assert "broken off 5 times in a row" in job.last_error


def test_a_chunk_that_was_done_starts_that_count_again(asked, lapse):
    job = asked(to=25)
    for _ in range(3):
        held = claims.claim(job.pk)
        lapse(job)
    running._chunk(held, running.kind_named("count"))
    job.refresh_from_db()
    assert job.failures == 0
