"""Many tables made at once: pictured once, though they point at each other in a circle."""

from __future__ import annotations

from collections import Counter

import pytest
from django.db import connection, models
from django.db.migrations import CreateModel
from django.db.migrations.operations.base import OperationCategory
from django.db.migrations.state import ModelState, ProjectState
from django.db.migrations.writer import OperationWriter

from inventory.ground.tables import Tables


def ring(*names: str) -> Tables:
    """Tables each of which points at the next, and the last at the first."""
    return Tables([
        CreateModel(name, [
            ("id", models.BigAutoField(primary_key=True)),
            ("to", models.ForeignKey(f"rings.{other}", models.RESTRICT, null=True)),
        ], options={"indexes": [models.Index(fields=["id", "to"], name=f"{name}_index")]})
        for name, other in zip(names, (*names[1:], names[0]), strict=True)
    ])  # fmt: skip


def forwards(operation: Tables, state: ProjectState) -> ProjectState:
    """The state after it, as a migration comes to it."""
    before = state.clone()
    operation.state_forwards("rings", state)
    with connection.schema_editor() as editor:
        operation.database_forwards("rings", editor, before, state)
    return before


def laid() -> set[tuple[str, str]]:
    """The tables of rings, each with the one it points at."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT conrelid::regclass::text, confrelid::regclass::text FROM pg_constraint "
            "WHERE contype = 'f' AND conrelid::regclass::text LIKE 'rings_%'"
        )
        return set(cursor.fetchall())


@pytest.mark.django_db
def test_a_circle_of_tables_is_made_and_taken_back():
    operation, state = ring("north", "east", "south"), ProjectState()
    before = forwards(operation, state)
    assert laid() == {
        ("rings_north", "rings_east"),
        ("rings_east", "rings_south"),
        ("rings_south", "rings_north"),
    }
    with connection.cursor() as cursor:
        names = connection.introspection.get_constraints(cursor, "rings_east")
    assert names["east_index"]["columns"] == ["id", "to_id"]
    with connection.schema_editor() as editor:
        operation.database_backwards("rings", editor, state, before)
    assert not [name for name in connection.introspection.table_names() if "rings_" in name]


@pytest.mark.django_db
def test_each_model_is_pictured_once_however_many_there_are(monkeypatch):
    seen: Counter[str] = Counter()
    render = ModelState.render
    monkeypatch.setattr(
        ModelState, "render", lambda one, apps: (seen.update([one.name]), render(one, apps))[1]
    )
    state = ProjectState()
    assert state.apps.get_models() == []  # a picture there is, as when migrations are run
    forwards(ring("north", "east", "south", "west"), state)
    assert seen == {"north": 1, "east": 1, "south": 1, "west": 1}


def test_what_follows_sees_all_of_them():
    state = ProjectState()
    assert state.apps.get_models() == []
    ring("north", "east").state_forwards("rings", state)
    east = state.apps.get_model("rings", "east")
    assert east._meta.get_field("to").related_model is state.apps.get_model("rings", "north")


def test_a_migration_can_write_it_down():
    operation = ring("north", "east")
    text, imports = OperationWriter(operation, indentation=0).serialize()
    assert text.count("CreateModel(") == 2
    assert "import inventory.ground.tables" in imports
    assert operation.describe() == "Make 2 tables at once"
    assert operation.migration_name_fragment == "tables"
    assert (operation.category, operation.reversible) == (OperationCategory.ADDITION, True)
