"""Without a broker: a child process, started when a job is asked for; killed, and followed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.db.models.functions import Now
from django.utils import timezone

from inventory.ground.jobs import wake
from inventory.ground.jobs.alone import somebody_works
from inventory.ground.jobs.load_sheet import ask_to_load
from inventory.ground.jobs.wake import _child as real_child
from inventory.ground.models import Job, JobFile, SheetLoad
from inventory.ground.sheets.registry import sheet_named
from inventory.models.supplier import Supplier
from tests.support.people import with_role
from tests.worker.house import House, address_of, kill_all, wait_until

pytestmark = [pytest.mark.worker, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def alone(tally, tmp_path, settings, monkeypatch, children):
    """A house without a broker: child processes are really started, on the test database."""
    settings.REDIS_URL = ""
    environment = House(tmp_path, address_of(connection.settings_dict), "").environment
    for name in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE", "DATA_FOLDER", "REDIS_URL"):
        monkeypatch.setenv(name, environment[name])
    monkeypatch.setattr(wake, "_child", real_child)
    yield
    for child in wake._children:
        kill_all(child)


def test_a_child_works_off_what_is_asked_for_and_is_followed_if_killed(alone, ask_for, tally):
    job = ask_for()
    [child] = wake._children
    wait_until(lambda: len(tally(job)) >= 2, "the second chunk")
    assert somebody_works()
    suppliers = "code,name\n" + "".join(f"S{n},Supplier {n}\n" for n in range(1500))
    sheet = ask_to_load(
        sheet=sheet_named("suppliers"),
        data=suppliers.encode(),
        file_name="suppliers.csv",
        by=with_role("buyer"),
        at=timezone.now(),
    )
    assert wake._children == [child]  # it will do both
    kill_all(child)
    wait_until(lambda: not somebody_works(), "the lock of the dead one")
    wake.nudge()
    Job.objects.filter(pk=job.pk, state="running").update(lease_until=Now() - timedelta(seconds=1))
    wake.nudge()
    wait_until(lambda: not Job.objects.under_way().exists(), "the end of both")

    for each in (job, sheet):
        each.refresh_from_db()
        assert each.state == "done", each.last_error
    assert [chunk for chunk, _ in tally(job)] == list(range(8))
    assert Supplier.objects.count() == SheetLoad.objects.get().rows == 1500
    assert not JobFile.objects.exists()
    wait_until(lambda: not somebody_works(), "the end of the child, with nothing left to do")
