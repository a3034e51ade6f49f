"""Saying, while a chunk takes its time, that its worker still lives."""

from __future__ import annotations

import logging
import threading
import time
from types import TracebackType
from typing import Self

from django.db import DatabaseError, InterfaceError, connections

from inventory.ground.jobs import timing
from inventory.ground.jobs.claims import Held, extend

log = logging.getLogger(__name__)


class Heartbeat:
    """Holds a job for its worker, on a connection of its own, until the block ends.

    It dies with the process, and falls silent when one chunk takes longer than any should: a hung
    worker must not keep a job for ever.
    """

    def __init__(self, held: Held) -> None:
        self._held = held
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._beat, name="heartbeat", daemon=True)
        self._chunk_began = time.monotonic()

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._over.set()
        self._thread.join()

    def new_chunk(self) -> None:
        """A chunk begins."""
        self._chunk_began = time.monotonic()

    def _beat(self) -> None:
        pause = timing.lease().total_seconds() / 3
        longest = timing.longest_chunk().total_seconds()
        try:
            while not self._over.wait(pause):
                if time.monotonic() - self._chunk_began > longest or not self._extend():
                    return
        finally:
            connections.close_all()

    def _extend(self) -> bool:
        try:
            return extend(self._held)
        except (DatabaseError, InterfaceError) as error:
            log.warning("job %s: its lease could not be extended: %s", self._held.job_id, error)
            connections.close_all()
            return True  # the next beat tries again
