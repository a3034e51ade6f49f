"""Real connections at the same moment, each in a thread of its own.

Needs `@pytest.mark.django_db(transaction=True)`: what a test has not committed nobody else sees.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor

import pytest
from django.db import connection, connections

PATIENCE = 60


def at_once(*calls: Callable[[], object]) -> list[object]:
    """Start every call at the same moment on a connection of its own; results, or what they raised.

    The answers come in the order of the calls.
    """
    gate = threading.Barrier(len(calls))

    def run(call: Callable[[], object]) -> object:
        try:
            connection.ensure_connection()
            gate.wait(PATIENCE)
            return call()
        except Exception as error:
            return error
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(calls)) as pool:
        return [future.result(PATIENCE) for future in [pool.submit(run, call) for call in calls]]


class OtherConnection:
    """A second person at work: runs each call on one other connection and waits for its answer."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(1)

    def __call__(self, call: Callable[[], object]) -> object:
        """What the call answers; what it raises is raised here."""
        return self.start(call).result(PATIENCE)

    def start(self, call: Callable[[], object]) -> Future:
        """Start the call and do not wait, for one that is expected to be kept waiting."""
        return self._pool.submit(call)

    def close(self) -> None:
        self._pool.submit(connections.close_all).result(PATIENCE)
        self._pool.shutdown()


@pytest.fixture
def someone_else(transactional_db):
    """A second connection: `someone_else(lambda: ...)`."""
    other = OtherConnection()
    yield other
    other.close()
