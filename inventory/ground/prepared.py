"""Statements that PostgreSQL plans once a connection, for the few that are asked all day long.

Django has every statement planned afresh, which takes longer than answering a small one does.
"""

from __future__ import annotations

from typing import Any, cast

import psycopg
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.utils import CursorWrapper


class _Told(psycopg.Cursor[Any]):
    """Keeps the statement for Django's log of queries; psycopg drops it once it is prepared."""

    def execute(self, query: Any, params: Any = None, **options: Any) -> _Told:
        """As psycopg's own."""
        super().execute(query, params, **options)
        self._query = self._convert_query(query, params)
        return self


def prepared_cursor() -> CursorWrapper:
    """A cursor like `connection.cursor()`, with its checks, logging and errors, that prepares.

    For statements of one fixed text; values go in as parameters, with casts where their type is
    not plain from the place where they stand.
    """
    connection = connections[DEFAULT_DB_ALIAS]  # looked up once: its stand-in does at every dot
    connection.ensure_connection()
    session: Any = connection.connection
    # Django forbids preparing for the sake of poolers that mix sessions; none stands before ours.
    # Its own cursors put values into the text and never prepare.
    session.prepare_threshold = 0
    if connection.queries_logged:
        return connection.make_debug_cursor(cast(Any, _Told(session)))
    return connection.make_cursor(cast(Any, psycopg.Cursor(session)))
