"""The page of a job in a real browser: it moves by itself, or holds still if asked."""

from __future__ import annotations

import pytest
from django.db import transaction

from inventory.ground.jobs.asking import ask
from inventory.ground.jobs.claims import claim, record
from inventory.ground.jobs.kinds import Step, Wrong
from tests.factories.people import UserFactory
from tests.factories.when import AT
from tests.support.browser import sign_in
from tests.support.looking import look_well
from tests.support.people import with_role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def held(settings):
    """A job in a worker's hands, at 40 of 100 rows."""
    settings.REDIS_URL = ""
    job = ask(kind="count", slot="one", arguments={"to": 100}, by=UserFactory(), at=AT)
    held = claim(job.pk)
    move(held, Step(cursor=40, done=38, total=100, doing="counting", wrong=[Wrong(3, "odd.")] * 2,
                    failed=2))  # fmt: skip
    return held


def move(held, step):
    with transaction.atomic():
        record(held, step)


def test_a_job_moves_under_the_eyes_of_who_watches(page, held):
    sign_in(page, with_role("buyer"))
    page.goto("/jobs/")
    assert page.locator("progress").get_attribute("value") == "40"
    look_well(page)
    page.get_by_role("link", name="Count: to 100").click()
    look_well(page)
    cancel = page.get_by_role("button", name="Cancel")
    cancel.focus()
    move(held, Step(cursor=80, done=40, doing="counting"))
    page.wait_for_selector("progress[value='80']")
    assert cancel.evaluate("button => button === document.activeElement")

    page.get_by_role("link", name="hold it still").click()
    move(held, Step(done=20, result="Counted to 100."))
    page.wait_for_timeout(2500)
    assert page.locator("progress").get_attribute("value") == "80"
    page.get_by_role("link", name="Look again").click()
    assert "✓ done" in page.inner_text("main")
    assert "Counted to 100." in page.inner_text("main")
    page.get_by_role("button", name="Run again").click()
    page.wait_for_selector("text=this is the new one")
    page.get_by_role("button", name="Cancel").click()
    page.wait_for_selector("text=– cancelled")
    look_well(page)
