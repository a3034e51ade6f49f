"""The operation that lets the database keep versions: told by a migration, undone by it."""

from __future__ import annotations

import pytest
from django.db import connection
from django.db.migrations.writer import MigrationWriter

from inventory.ground.kept_versions import KeptVersions

OPERATION = KeptVersions(
    "Evidence", "EvidenceVersion", key="evidence", sentence="It's kept.", first="recorded_at"
)


def test_a_migration_can_write_it_down():
    text, _ = MigrationWriter.serialize(OPERATION.deconstruct()[1])
    assert text == "['Evidence', 'EvidenceVersion']"
    again = KeptVersions(*OPERATION.deconstruct()[1], **OPERATION.deconstruct()[2])
    assert again.deconstruct() == OPERATION.deconstruct()
    assert OPERATION.describe() == "Every version of Evidence is kept"
    assert OPERATION.migration_name_fragment == "evidence_versions_are_kept"


def triggers() -> set[tuple[str, str]]:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT tgrelid::regclass::text, tgname FROM pg_trigger WHERE NOT tgisinternal "
            "AND tgrelid::regclass::text LIKE 'fitments_evidence%'"
        )
        return set(cursor.fetchall())


@pytest.mark.django_db
def test_undone_and_done_again_it_is_as_before():
    from django.apps import apps

    class State:
        pass

    state = State()
    state.apps = apps
    before = triggers()
    with connection.schema_editor() as editor:
        OPERATION.database_backwards("fitments", editor, state, state)
    assert triggers() == set()
    with connection.schema_editor() as editor:
        OPERATION.database_forwards("fitments", editor, state, state)
        OPERATION.database_forwards("fitments", editor, state, state)
    assert triggers() == before
