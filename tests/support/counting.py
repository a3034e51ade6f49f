"""Counting what is asked of the database."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext


def queries_of(call: Callable[[], object]) -> int:
    """How many queries a call makes; savepoints are not counted."""
    with CaptureQueriesContext(connection) as captured:
        call()
    asked = [query["sql"] for query in captured.captured_queries]
    return len([sql for sql in asked if "SAVEPOINT" not in sql])


@pytest.fixture
def same_queries(db):
    """Check that a call asks as often at twice the rows: `same_queries(call, add_rows)`.

    Returns the number, to be pinned.
    """

    def check(call: Callable[[], object], add_rows: Callable[[], object]) -> int:
        call()  # what is only asked once a process is asked now
        few = queries_of(call)
        add_rows()
        many = queries_of(call)
        assert many == few, f"{few} queries became {many} with more rows"
        return few

    return check
