"""What `manage.py check` looks at beyond Django's own: chiefly what a production database must be.

Run `manage.py check --deploy --database default` as the role that web and worker sign in with.
They are warnings, since migrations run as the owner and must not be stopped by them; but where
migrating itself would go wrong, it is an error, and `manage.py migrate` stops.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import DatabaseError, connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from stockist.health.readiness import unguarded

_OWNED = """
SELECT rolsuper OR rolreplication, (
    SELECT count(*) FROM pg_class
    WHERE relowner = pg_roles.oid AND relkind IN ('r', 'p')
    AND relnamespace = 'public'::regnamespace
) FROM pg_roles WHERE rolname = current_user
"""
_LOCALE = "SELECT datlocprovider, datlocale FROM pg_database WHERE datname = current_database()"
_FINE_LOCALE = ("b", "C.UTF-8")


@register(Tags.database)
def database_is_fit(*, databases: Sequence[str] | None = None, **kwargs: Any) -> list[CheckMessage]:
    """Warnings about the role, the locale and the append-only triggers of a production database."""
    if not databases or not settings.PRODUCTION:
        return []
    try:
        return [*_role(), *_locale(), *_guards()]
    except DatabaseError as error:
        return [Warning(f"The database could not be looked at: {error}", id="stockist.W004")]


@register(Tags.database)
def database_is_not_halfway(
    *, databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """An error for each migration that stands for earlier ones of which only some were applied.

    Where those are no longer there, Django takes neither it nor the rest for something to do.
    """
    if not databases:
        return []
    try:
        applied = MigrationRecorder(connections["default"]).applied_migrations()
    except DatabaseError:
        return []  # whoever migrates is told why at once
    loader = MigrationLoader(None)
    known = {*applied, *loader.disk_migrations}
    return [
        Error(
            f"The database stopped halfway to {app}.{name}: {missing[0][1]} was not applied.",
            hint=f"Run manage.py migrate of the last version that had {missing[-1][1]}; or, if the "
            "data may go, move the data folder away and start afresh.",
            id="stockist.E001",
        )
        for (app, name), migration in loader.replacements.items()
        if (missing := [one for one in migration.replaces if one not in known])
        and len(missing) < len(migration.replaces)
    ]


def _ask(sql: str) -> tuple[Any, ...]:
    with connections["default"].cursor() as cursor:
        cursor.execute(sql)
        row: tuple[Any, ...] = cursor.fetchone()
    return row


def _role() -> list[CheckMessage]:
    powerful, owned = _ask(_OWNED)
    if not powerful and not owned:
        return []
    what = "may do anything" if powerful else f"owns {owned} tables"
    return [
        Warning(
            f"The role that signs in to the database {what}, and could switch off the rules that "
            "keep the ledger from being changed.",
            hint="Let web and worker sign in as a role that owns nothing; see compose.yaml.",
            id="stockist.W001",
        )
    ]


def _locale() -> list[CheckMessage]:
    if _ask(_LOCALE) == _FINE_LOCALE:
        return []
    return [
        Warning(
            "The database sorts by a locale that changes with the system's libraries, "
            "and its indexes may one day be wrong.",
            hint="Create it with LOCALE_PROVIDER builtin BUILTIN_LOCALE 'C.UTF-8'.",
            id="stockist.W002",
        )
    ]


def _guards() -> list[CheckMessage]:
    return [
        Warning(
            f"Rows of {table} are written once, but nothing in the database keeps them so.",
            hint="Run manage.py migrate; if it says nothing is to do, somebody disabled a trigger.",
            id="stockist.W003",
        )
        for table in sorted(unguarded())
    ]
