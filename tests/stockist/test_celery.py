"""The Celery app: what it knows, and the options that keep a killed worker's task from waiting."""

from __future__ import annotations

import pytest

from stockist.celery import app


def test_tasks_of_the_apps_belong_to_it():
    app.loader.import_default_modules()
    assert "inventory.ground.tasks.run_job" in app.tasks


def test_every_scheduled_task_exists():
    app.loader.import_default_modules()
    planned = {entry["task"] for entry in app.conf.beat_schedule.values()}
    assert planned <= set(app.tasks)
    assert planned


def test_a_task_ends_before_it_would_be_sent_again():
    again = app.conf.broker_transport_options["visibility_timeout"]
    assert app.conf.task_soft_time_limit < app.conf.task_time_limit < again


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("task_acks_late", True),
        ("task_reject_on_worker_lost", True),
        ("accept_content", ["json"]),
        ("worker_prefetch_multiplier", 1),
    ],
)
def test_a_task_is_given_back_when_its_worker_is_lost(name, value):
    assert getattr(app.conf, name) == value
