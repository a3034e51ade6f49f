"""What every test stands on: strictness, people with roles, real concurrency, a real browser."""

from __future__ import annotations

import os

# Playwright's sync interface runs an event loop, and Django would refuse the database beside it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

pytest_plugins = [
    "tests.support.starting",
    "tests.support.drawing",
    "tests.support.strictness",
    "tests.support.people",
    "tests.support.concurrency",
    "tests.support.counting",
    "tests.support.browser",
    "tests.support.jobs",
    "tests.support.ordering",
    "tests.support.emptying",
    "tests.support.backoffice",
]
