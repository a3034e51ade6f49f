"""How a question is asked: ours and the raw way by turns on the same rows, and the same answers."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg
from django.contrib.auth.models import User
from django.core.cache import cache
from django.db import connection
from django.urls import resolve
from rest_framework.test import APIRequestFactory, force_authenticate

from tests.load.table import Limit, Pair, Row

UNTHROTTLED = 100  # so many calls of the API in a row are far from too many
_KEYS = ("host", "port", "user", "password", "dbname")


class Differs(AssertionError):
    """Ours and the raw way do not say the same."""


@dataclass(frozen=True)
class Question:
    """One thing that is asked in two ways.

    told: both answers, brought to one form. server: the process of the server that the raw way
    uses; 0 where it asks no server.
    """

    asked: str
    limit: Limit
    cases: Sequence[Any]
    ours: Callable[[Any], Any]
    raw: Callable[[Any], Any]
    told: Callable[[Any, Any, Any], tuple[Any, Any]]
    note: str = ""
    warm: int = 5
    server: int = 0

    def row(self) -> Row:
        """Every case asked both ways. Raises `Differs` where an answer does."""
        for case in self.cases[: self.warm]:
            self.ours(case), self.raw(case)
        ours, raw, work = [], [], {True: 0.0, False: 0.0}
        servers = {True: _own_server() if self.server else 0, False: self.server}
        for number, case in enumerate(self.cases):
            if number % UNTHROTTLED == 0:
                cache.clear()
            turns = [(self.ours, ours), (self.raw, raw)]
            answers = {}
            for way, times in turns if number % 2 else reversed(turns):
                is_ours = way is self.ours
                busy = _busy(servers[is_ours])
                start = time.perf_counter()
                answers[is_ours] = way(case)
                times.append(time.perf_counter() - start)
                work[is_ours] += _busy(servers[is_ours]) - busy
            self.check(case, answers[True], answers[False])
        cpu = work[True] / len(ours), work[False] / len(raw)
        return Row(self.asked, Pair(ours, raw), self.limit, note=self.note, cpu=cpu)

    def check(self, case: Any, ours: Any, raw: Any) -> None:
        """Raise `Differs` unless both say the same."""
        one, other = self.told(case, ours, raw)
        if one != other:
            raise Differs(f"{self.asked}, {case}: ours {one!r}, by hand {other!r}")


def _busy(server: int) -> float:
    """Seconds that this thread and a process of the server have been at work, not waiting."""
    try:
        theirs = int(Path(f"/proc/{server}/schedstat").read_text().split()[0]) if server else 0
    except FileNotFoundError:  # the server is elsewhere, or this is not Linux
        theirs = 0
    return time.thread_time() + theirs / 1e9


def _own_server() -> int:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        return int(cursor.fetchone()[0])


def raw_connection() -> psycopg.Connection[Any]:
    """A plain connection to the same database: every statement prepared, no framework."""
    asked = connection.get_connection_params()
    keys = {key: asked[key] for key in _KEYS if asked.get(key)}
    return psycopg.connect(**keys, autocommit=True, prepare_threshold=0)


class Raw:
    """Hand-written SQL on a connection of its own."""

    def __init__(self) -> None:
        self.connection = raw_connection()
        self.server = self.connection.info.backend_pid

    def __call__(self, query: str, given: Any = None) -> list[tuple[Any, ...]]:
        return self.connection.execute(query, given).fetchall()

    def close(self) -> None:
        self.connection.close()


@dataclass(frozen=True)
class Api:
    """The API in this process: from a request to the bytes of the answer, somebody signed in."""

    user: User

    def __call__(self, path: str, **asked: Any) -> bytes:
        request = APIRequestFactory(SERVER_NAME="localhost").get(f"/api/v1/{path}", asked)
        force_authenticate(request, self.user)
        match = resolve(f"/api/v1/{path}")
        response = match.func(request, *match.args, **match.kwargs)
        response.render()
        if response.status_code != 200:
            raise Differs(f"{path} {asked}: {response.content!r}")
        return bytes(response.content)


def read(answer: bytes) -> Any:
    """An answer of the API as values."""
    return json.loads(answer)
