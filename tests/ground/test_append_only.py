"""Rows that are written once stay so, whichever way somebody tries."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.state import ProjectState
from django.db.migrations.writer import MigrationWriter

from inventory.ground.append_only import CONSTRAINT, AppendOnly
from inventory.ground.models import IdempotencyKey
from inventory.ground.violations import Violated, named_violation, violation
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

SENTENCE = "It's written once: book a correction instead."


def install(**options) -> AppendOnly:
    """Make the keys append-only for the length of this test."""
    operation = AppendOnly("IdempotencyKey", sentence=SENTENCE, **options)
    state = ProjectState.from_apps(IdempotencyKey._meta.apps)
    sql("SET CONSTRAINTS ALL IMMEDIATE")  # a truncate waits for nothing but the trigger
    with connection.schema_editor() as editor:
        operation.database_forwards("ground", editor, state, state)
    return operation


@pytest.fixture
def row():
    return IdempotencyKey.objects.create(actor=UserFactory(), key="a", route="POST /", body="b")


def sql(text: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(text)


@pytest.mark.parametrize(
    "attempt",
    [
        lambda row: row.save(),
        lambda row: row.delete(),
        lambda row: IdempotencyKey.objects.update(key="c"),
        lambda row: IdempotencyKey._base_manager.filter(pk=row.pk).update(key="c"),
        lambda row: IdempotencyKey.objects.bulk_update([row], ["key"]),
        lambda row: IdempotencyKey.objects.all().delete(),
        lambda row: sql("UPDATE ground_idempotencykey SET key = key"),
        lambda row: sql("DELETE FROM ground_idempotencykey"),
        lambda row: sql("TRUNCATE ground_idempotencykey"),
    ],
)
def test_every_way_of_changing_is_refused(row, attempt):
    install()
    with pytest.raises(IntegrityError) as refused, transaction.atomic():
        attempt(row)
    found = violation(refused.value)
    assert (found.sentence, found.constraint) == (SENTENCE, CONSTRAINT)
    assert IdempotencyKey.objects.get().key == "a"


def test_new_rows_are_still_written(row):
    install()
    IdempotencyKey.objects.create(actor=row.actor, key="d", route="POST /", body="b")
    assert IdempotencyKey.objects.count() == 2


def test_a_column_may_be_let_change(row):
    install(may_change=["status", "answer"])
    IdempotencyKey.objects.update(status=201, answer="done")
    with pytest.raises(IntegrityError), transaction.atomic():
        IdempotencyKey.objects.update(status=202, key="c")
    with pytest.raises(IntegrityError), transaction.atomic():
        IdempotencyKey.objects.all().delete()
    assert IdempotencyKey.objects.get().status == 201


def test_it_is_taken_back(row):
    operation = install()
    state = ProjectState.from_apps(IdempotencyKey._meta.apps)
    with connection.schema_editor() as editor:
        operation.database_backwards("ground", editor, state, state)
    row.delete()
    assert not IdempotencyKey.objects.exists()


def test_the_refusal_is_met_with_its_sentence(row):
    install()
    with pytest.raises(Violated, match="book a correction instead"), named_violation():
        row.delete()


def test_it_can_be_written_into_a_migration():
    operation = AppendOnly("posting", sentence=SENTENCE, may_change=["known"])
    text, imports = MigrationWriter.serialize(operation)
    assert "AppendOnly" in text
    assert "import inventory.ground.append_only" in imports
    assert operation.migration_name_fragment == "posting_append_only"
    assert "posting" in operation.describe()
