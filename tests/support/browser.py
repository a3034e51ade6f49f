"""A real browser. Where there is none, the tests that need it are skipped, with the reason."""

from __future__ import annotations

import os
import shutil
from functools import wraps

import pytest
from django.contrib.auth.models import User
from django.test import Client

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@pytest.fixture(scope="session")
def browser():
    """Chromium, started once; set CHROMIUM to the path of another one."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = (
        os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    )
    if not path:
        pytest.skip("no chromium on this machine (Debian: apt-get install chromium)")
    with playwright.sync_playwright() as driver, pytest.MonkeyPatch.context() as patch:
        for act in ("click", "press"):
            patch.setattr(playwright.Locator, act, _and_read_on(getattr(playwright.Locator, act)))
        chromium = driver.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield chromium
        chromium.close()


def _and_read_on(act):
    """An act that may lead to another page, and the reading of that to its end.

    Playwright comes back when the answer begins; whoever looks then sees half a page at times.
    """

    @wraps(act)
    def done(locator, *args, **named):
        act(locator, *args, **named)
        locator.page.wait_for_load_state()

    return done


@pytest.fixture
def page(browser, live_server):
    """A page at 1440 px on the running shop; a complaint on its console fails the test."""
    context = browser.new_context(
        base_url=live_server.url, viewport={"width": 1440, "height": 900}, reduced_motion="reduce"
    )
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda line: complaints.append(line.text) if _is_fault(line) else None)
    yield page
    context.close()
    assert not complaints, complaints


def _is_fault(line) -> bool:
    """An error on the console; a refused form (400, 409, 422) is an answer, not a fault."""
    refused = any(f"status of {status} " in line.text for status in (400, 409, 422))
    return line.type == "error" and not refused


def sign_in(page, person: User) -> None:
    """Give the page the session of a person, without going through the sign-in form."""
    client = Client()
    client.force_login(person)
    cookie = client.cookies["sessionid"]
    page.context.add_cookies(
        [{"name": "sessionid", "value": cookie.value, "domain": "localhost", "path": "/"}]
    )
