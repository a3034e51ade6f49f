"""What the small API of these tests is told to do."""

from __future__ import annotations

import threading

to_raise: list[Exception] = []
_meeting: list[threading.Event] = []


def meet() -> None:
    """Tell a waiting test that the work is done but not committed, and wait for its word."""
    if _meeting:
        arrived, go_on = _meeting
        arrived.set()
        assert go_on.wait(30)


def arrange() -> tuple[threading.Event, threading.Event]:
    """From now on the work stops before its commit: (it has arrived, it may go on)."""
    _meeting[:] = [threading.Event(), threading.Event()]
    return _meeting[0], _meeting[1]


def forget() -> None:
    _meeting.clear()
    to_raise.clear()
