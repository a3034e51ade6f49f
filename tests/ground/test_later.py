"""Work after the answer: through the broker where there is one, else in a process of its own."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from celery import shared_task
from django.core.management import CommandError, call_command
from django.db import transaction

from inventory.ground.idempotency import IdempotencyKey
from inventory.ground.later import later
from inventory.ground.tasks import forget_old_keys
from tests.factories.people import UserFactory


@shared_task(name="tests.ground.test_later.write")
def write(path: str, number: int) -> None:
    Path(path).write_text(f"{number + 1}")


def wait_for(path: Path) -> str:
    until = time.monotonic() + 30
    while time.monotonic() < until:
        if path.exists() and path.read_text():
            return path.read_text()
        time.sleep(0.05)
    pytest.fail(f"{path} never came")


@pytest.mark.django_db(transaction=True)
def test_without_a_broker_a_child_process_does_it(settings, tmp_path):
    settings.REDIS_URL = ""
    target = tmp_path / "written"
    with transaction.atomic():
        later(write, str(target), 41)
        assert not target.exists()
    assert wait_for(target) == "42"


@pytest.mark.django_db(transaction=True)
def test_what_is_rolled_back_is_not_done(settings, tmp_path, monkeypatch):
    settings.REDIS_URL = ""
    started = []
    monkeypatch.setattr("inventory.ground.later.subprocess.Popen", started.append)
    with transaction.atomic():
        later(write, str(tmp_path / "written"), 1)
        transaction.set_rollback(True)
    assert started == []


@pytest.mark.django_db(transaction=True)
def test_with_a_broker_it_is_sent_there(settings, monkeypatch):
    settings.REDIS_URL = "redis://127.0.0.1:1/0"
    sent = []
    monkeypatch.setattr(write, "delay", lambda *arguments: sent.append(arguments))
    later(write, "a", 1)
    assert sent == [("a", 1)]


@pytest.mark.django_db
def test_a_task_can_be_run_by_hand(capsys):
    IdempotencyKey.objects.create(
        actor=UserFactory(), key="a", route="POST /", body="b", received_at="2020-01-01T00:00Z"
    )
    call_command("run_task", "inventory.ground.tasks.forget_old_keys")
    assert capsys.readouterr().out == "1\n"
    assert forget_old_keys() == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["no.such.task"], "There is no task called no.such.task"),
        (["inventory.ground.tasks.nothing"], "There is no task called"),
        (["nothing"], "There is no task called"),
        (["inventory.ground.tasks.forget_old_keys", "{"], "is not JSON"),
    ],
)
def test_what_cannot_be_run_is_told(arguments, words):
    with pytest.raises(CommandError, match=words):
        call_command("run_task", *arguments)
