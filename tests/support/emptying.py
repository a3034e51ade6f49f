"""Tables are emptied between tests that commit: rows only, and past the append-only triggers.

Django's own way truncates every table and makes all permissions and roles anew, which takes most
of a second a test. Here rows are deleted, and what migrating made (content types, permissions,
roles) stays as long as it is what it was. Django's own way is taken where a test has changed that,
and where deleted rows would weigh on the tests to come: in tables that have grown large, or that
were counted while empty, so that questions to them are planned for a single row.
"""

from __future__ import annotations

import pytest
from django.db import connection
from django.db.backends.postgresql.operations import DatabaseOperations
from django.test import TransactionTestCase

MADE_BY_MIGRATING = (
    "django_content_type",
    "auth_permission",
    "auth_group",
    "auth_group_permissions",
)
LARGE = 1_000_000  # bytes of a table whose rows are deleted
WEIGHS = """
SELECT EXISTS (SELECT FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'
               AND (pg_relation_size(oid) > %s OR (reltuples = 0 AND relpages > 0)))
"""
PASS_TRIGGERS = "SET LOCAL session_replication_role = replica;"


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """The test database, whose tables are emptied as above; only here is that allowed."""
    plain = TransactionTestCase._fixture_teardown, DatabaseOperations.execute_sql_flush
    with django_db_blocker.unblock():
        made = [_made_by_migrating()]

    def flush(self, sql_list):
        assert self.connection.settings_dict["NAME"].startswith("test_")
        return plain[1](self, [PASS_TRIGGERS, *sql_list])

    def teardown(self):
        special = self.reset_sequences or self.serialized_rollback or self.available_apps
        if special or _weighs() or made != [_made_by_migrating()]:
            plain[0](self)
            made[:] = [_made_by_migrating()]
        else:
            _delete_rows()

    TransactionTestCase._fixture_teardown = teardown
    DatabaseOperations.execute_sql_flush = flush
    yield
    TransactionTestCase._fixture_teardown, DatabaseOperations.execute_sql_flush = plain


def _made_by_migrating() -> str:
    every = " || ".join(
        f"coalesce((SELECT string_agg(r::text, '|' ORDER BY r.id) FROM {table} r), '')"
        for table in MADE_BY_MIGRATING
    )
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT md5({every})")
        return cursor.fetchone()[0]


def _weighs() -> bool:
    with connection.cursor() as cursor:
        cursor.execute(WEIGHS, [LARGE])
        return cursor.fetchone()[0]


def _delete_rows() -> None:
    assert connection.settings_dict["NAME"].startswith("test_")
    tables = connection.introspection.django_table_names(only_existing=True, include_views=False)
    quote = connection.ops.quote_name
    deletions = " ".join(
        f"DELETE FROM {quote(table)};" for table in sorted(tables) if table not in MADE_BY_MIGRATING
    )
    with connection.cursor() as cursor:
        cursor.execute(f"DO $$ BEGIN {PASS_TRIGGERS} {deletions} END $$")
