"""Databases made before the chains of migrations were drawn together go on as they are."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from stockist.checks import database_is_not_halfway

pytestmark = pytest.mark.django_db


def drawn_together() -> dict[tuple[str, str], list[tuple[str, str]]]:
    """Each of our migrations that stands for earlier ones, and those."""
    found = MigrationLoader(None).replacements.items()
    ours = ("ground", "inventory", "fitments")
    return {key: migration.replaces for key, migration in found if key[0] in ours}


def forget(*migrations: tuple[str, str]) -> None:
    with connection.cursor() as cursor:
        for migration in migrations:
            cursor.execute("DELETE FROM django_migrations WHERE app = %s AND name = %s", migration)
            assert cursor.rowcount


def to_do() -> list[str]:
    executor = MigrationExecutor(connection)
    return [str(one) for one, _ in executor.migration_plan(executor.loader.graph.leaf_nodes())]


def test_none_of_them_stands_for_the_same():
    # Else the second of the two would be taken for done when the process dies after the first.
    replaced = [one for all_of in drawn_together().values() for one in all_of]
    assert len(replaced) == len(set(replaced)) > 0


def test_a_database_of_the_earlier_chain_has_nothing_to_do():
    forget(*drawn_together())
    assert to_do() == []


@pytest.mark.parametrize(
    "last",
    [
        ("ground", "0005_jobs"),
        ("inventory", "0017_whole_axles_are_kept"),
        ("fitments", "0006_an_approval_is_for_one_axle"),
    ],
)
def test_one_that_stopped_halfway_is_told_which_is_missing(last):
    forget(*drawn_together(), last)
    (error,) = database_is_not_halfway(databases=["default"])
    assert last[1] in error.msg
    assert last[1] in error.hint


@pytest.mark.parametrize(("command", "options"), [("migrate", {}), ("demo", {"no_serve": True})])
def test_and_it_is_not_migrated(command, options):
    forget(*drawn_together(), ("inventory", "0017_whole_axles_are_kept"))
    with pytest.raises(SystemCheckError, match=r"halfway to inventory\.0001_tables"):
        call_command(
            command, verbosity=0, skip_checks=command == "demo", stdout=StringIO(), **options
        )


def test_whole_ones_are_left_alone(django_assert_num_queries):
    assert database_is_not_halfway(databases=["default"]) == []
    with django_assert_num_queries(0):
        assert database_is_not_halfway(databases=None) == []


def test_tables_without_their_rules_are_not_taken_for_done():
    rules = ("inventory", "0002_rules")
    forget(rules, *drawn_together()[rules])
    assert database_is_not_halfway(databases=["default"]) == []
    assert to_do() == ["inventory.0002_rules"]
