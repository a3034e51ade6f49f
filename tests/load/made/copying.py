"""Rows by COPY, as fast as PostgreSQL takes them."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager

from django.db import connection
from django.db.models import Model

log = logging.getLogger("tests.load")
TOLD_EVERY = 500_000
# Those that belong to no constraint: COPY is quicker without, and they are built at the end.
_SECONDARY = """
SELECT i.indexname, i.indexdef FROM pg_indexes i
WHERE i.schemaname = 'public' AND i.tablename = ANY(%s)
    AND NOT EXISTS (SELECT FROM pg_constraint c WHERE c.conname = i.indexname)
ORDER BY i.indexname
"""


def copy(model: type[Model], columns: str, rows: Iterable[Sequence[object]]) -> None:
    """Bring rows into a model's table; columns as the database calls them, parted by blanks."""
    copy_into(model._meta.db_table, columns, rows)


def copy_into(table: str, columns: str, rows: Iterable[Sequence[object]]) -> None:
    """The same, for a table without a model."""
    named = ", ".join(f'"{column}"' for column in columns.split())
    number = 0
    with (
        connection.cursor() as cursor,
        cursor.copy(f"COPY {table} ({named}) FROM STDIN") as stream,
    ):
        for number, row in enumerate(rows, start=1):
            stream.write_row(row)
            if number % TOLD_EVERY == 0:
                log.info("  %s: %s rows so far", table, f"{number:,}")
    log.info("  %s: %s rows", table, f"{number:,}")


@contextmanager
def with_triggers() -> Iterator[None]:
    """Within `in_bulk`, for tables whose triggers write rows of their own."""
    with connection.cursor() as cursor:
        cursor.execute("SET session_replication_role = origin")
        try:
            yield
        finally:
            cursor.execute("SET session_replication_role = replica")


@contextmanager
def in_bulk(*big: type[Model]) -> Iterator[None]:
    """Foreign keys are not looked up row by row meanwhile, and big tables go without indexes.

    What was brought has to hang together by itself: the patrol looks over that afterwards.
    """
    with connection.cursor() as cursor:
        cursor.execute(_SECONDARY, [[model._meta.db_table for model in big]])
        indexes = cursor.fetchall()
        cursor.execute("SET session_replication_role = replica")
        for name, _ in indexes:
            cursor.execute(f'DROP INDEX "{name}"')
        try:
            yield
        finally:
            cursor.execute("SET session_replication_role = origin")
            cursor.execute("SET maintenance_work_mem = '512MB'")
            log.info("Indexes: %s", len(indexes))
            for _, definition in indexes:
                cursor.execute(definition)


def tidy() -> None:
    """Numbers go on behind the rows that were brought; the planner knows them."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT table_name, column_name FROM information_schema.columns "
            "WHERE is_identity = 'YES' AND table_schema = 'public' ORDER BY table_name"
        )
        for table, column in cursor.fetchall():
            cursor.execute(
                f"SELECT setval(pg_get_serial_sequence('{table}', '{column}'), "
                f"greatest(max({column}), 1), max({column}) IS NOT NULL) FROM {table}"
            )
        log.info("Vacuum")
        cursor.execute("VACUUM ANALYZE")
