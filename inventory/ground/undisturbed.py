"""Garbage is looked for between long answers, not in the middle of one.

An answer makes a hundred thousand objects that are all in use until it is told. Whoever looks for
garbage meanwhile goes through them and finds none; a moment later they are gone by themselves.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

AFTER = 50
"""Where one answer always begins before another ends, garbage is looked for after so many."""


class Undisturbed:
    """Used around an answer: as long as any thread is within, nobody looks for garbage."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._within = self._ended = 0
        self._was_looked_for = True

    @contextmanager
    def __call__(self) -> Iterator[None]:
        self._begin()
        try:
            yield
        finally:
            self._end()

    def _begin(self) -> None:
        with self._lock:
            if not self._within:
                self._was_looked_for = gc.isenabled()
                gc.disable()
            self._within += 1

    def _end(self) -> None:
        with self._lock:
            self._within -= 1
            self._ended = self._ended + 1 if self._within else 0
            if not self._within and self._was_looked_for:
                gc.enable()
            elif self._ended >= AFTER:
                self._ended = 0
                gc.collect()


undisturbed = Undisturbed()
