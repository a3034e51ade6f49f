"""What the database itself would not do, for tests of what looks it over afterwards."""

from __future__ import annotations

from django.db import connection


def past_the_guards(*statements: str) -> None:
    """What a broken disk or a careless hand could do: the triggers do not see it."""
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET LOCAL session_replication_role = replica")
        for statement in statements:
            cursor.execute(statement)
        cursor.execute("SET LOCAL session_replication_role = origin")
