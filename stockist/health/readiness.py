"""Whether the house can work: what each part of it says of itself."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import redis
from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from inventory.ground.append_only import ROW_TRIGGER, TABLE_TRIGGER, AppendOnly

FINE = "fine"
_UNGUARDED = """
SELECT wanted FROM unnest(%s::text[]) AS wanted
WHERE to_regclass(quote_ident(wanted)) IS NOT NULL AND 2 > (
    SELECT count(*) FROM pg_trigger
    WHERE tgrelid = to_regclass(quote_ident(wanted)) AND tgname = ANY(%s)
    AND tgenabled IN ('O', 'A')
)
UNION SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid
WHERE NOT tgisinternal AND tgenabled NOT IN ('O', 'A')
AND relnamespace = 'public'::regnamespace
"""


def readiness() -> dict[str, str]:
    """Each part and what is the matter with it, in words; `FINE` where nothing is."""
    return {
        "database": _asked(_database),
        "tables": _asked(_tables),
        "append-only rules": _asked(_triggers),
        "broker": _broker(),
    }


@cache
def written_once() -> frozenset[str]:
    """The tables that migrations have made append-only."""
    state = MigrationLoader(None).project_state().apps
    migrations = MigrationLoader(None).disk_migrations.values()
    return frozenset(
        state.get_model(migration.app_label, operation.model)._meta.db_table
        for migration in migrations
        for operation in migration.operations
        if isinstance(operation, AppendOnly)
    )


def unguarded() -> set[str]:
    """Append-only tables without their triggers, and any whose triggers are switched off.

    Tables that are yet to be made are not among them.
    """
    with connection.cursor() as cursor:
        cursor.execute(_UNGUARDED, [sorted(written_once()), [ROW_TRIGGER, TABLE_TRIGGER]])
        return {table for (table,) in cursor.fetchall()}


def _asked(question: Callable[[], str]) -> str:
    try:
        return question()
    except DatabaseError:
        return "the database does not answer"


def _database() -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return FINE


def _tables() -> str:
    executor = MigrationExecutor(connection)
    waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return f"{len(waiting)} migrations are not applied: run manage.py migrate" if waiting else FINE


def _triggers() -> str:
    missing = unguarded()
    return f"not guarded: {', '.join(sorted(missing))}" if missing else FINE


def _broker() -> str:
    if not settings.REDIS_URL:
        return FINE  # jobs run in processes of their own
    try:
        with redis.from_url(settings.REDIS_URL, socket_timeout=2) as broker:
            broker.ping()
    except redis.RedisError:
        return "the broker does not answer"
    return FINE
