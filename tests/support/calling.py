"""Calling the API as a program does: writes carry a key, answers come as they are on the wire."""

from __future__ import annotations

import itertools

from rest_framework.test import APIClient

ROOT = "/api/v1/"
_numbers = itertools.count()


def write(client: APIClient, method: str, path: str, data=None, *, key: str = "", **headers):
    """A write with a key of its own, unless one is given; `If_Match="*"` is a header."""
    named = {"Idempotency-Key": key or f"key-{next(_numbers)}"}
    named |= {name.replace("_", "-"): value for name, value in headers.items()}
    return getattr(client, method)(ROOT + path, data or {}, headers=named)


def read(client: APIClient, path: str, **query):
    """The answer to a GET, which must be there."""
    answer = client.get(ROOT + path, query)
    assert answer.status_code == 200, answer.content
    return answer.json()


def every_row(client: APIClient, path: str, **query) -> list[dict]:
    """All rows of a list, page after page."""
    rows, answer = [], read(client, path, **query)
    while True:
        rows += answer["results"]
        if not answer["next"]:
            return rows
        found = client.get(answer["next"])
        assert found.status_code == 200, found.content
        answer = found.json()


def refused(answer, status: int, words: str = "", pointer: str | None = None) -> dict:
    """The problem that an answer tells: of this status, saying this, of this input."""
    assert answer.status_code == status, (answer.status_code, answer.content)
    assert answer["Content-Type"] == "application/problem+json"
    problem = answer.json()
    assert problem["status"] == status
    assert problem["detail"]
    assert words in problem["detail"], problem
    if pointer is not None:
        assert pointer in [error["pointer"] for error in problem["errors"]], problem
    return problem
