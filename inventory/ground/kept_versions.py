"""Rows whose every version is kept by the database: what was known when, whoever wrote it, and how.

The row itself says what is known now. Beside it stands a table of versions with the same columns,
a key to the row and `known`, a half-open range of moments. The database writes it whenever a row
is inserted or changed, and lets nobody else: so what was known at any past moment can be asked.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.apps.registry import Apps
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState
from django.db.models import Model

# A row that is new was known from when it was recorded; a change from when it is made: the time of
# the database, read under the lock on the row, and never before what was known already.
_KEEP = """
CREATE OR REPLACE FUNCTION {function}() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE moment timestamptz := clock_timestamp();
BEGIN
    IF TG_OP = 'UPDATE' THEN
        {fixed}
        IF ({old}) IS NOT DISTINCT FROM ({new}) THEN
            RETURN NULL;
        END IF;
        SELECT greatest(moment, max(lower(known)) + interval '1 microsecond') INTO moment
            FROM {versions} WHERE {key} = NEW.id;
        UPDATE {versions} SET known = tstzrange(lower(known), moment)
            WHERE {key} = NEW.id AND upper_inf(known);
    ELSE
        moment := {first};
    END IF;
    INSERT INTO {versions} ({key}, known, {columns})
        VALUES (NEW.id, tstzrange(moment, NULL), {new});
    RETURN NULL;
END
$$;
"""
_FIXED = """
        IF OLD.{column} IS DISTINCT FROM NEW.{column} THEN
            RAISE EXCEPTION USING MESSAGE = {sentence}, ERRCODE = 'restrict_violation',
                CONSTRAINT = 'append_only', TABLE = TG_TABLE_NAME, SCHEMA = TG_TABLE_SCHEMA;
        END IF;
"""
_GUARD = """
CREATE OR REPLACE FUNCTION {guard}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP IN ('INSERT', 'UPDATE') AND pg_trigger_depth() > 1 THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION USING MESSAGE = {sentence}, ERRCODE = 'restrict_violation',
        CONSTRAINT = 'append_only', TABLE = TG_TABLE_NAME, SCHEMA = TG_TABLE_SCHEMA;
END
$$;
"""


class KeptVersions(Operation):
    """Migration operation: every version of a model's rows is kept in another.

    `key` is the version's field that points at the row; `first` is the column of the row that says
    since when it is known when it is new, the moment of writing where there is none; `fixed` names
    columns that never change. Run it again after either model has got other columns.
    """

    reduces_to_sql = True
    reversible = True

    def __init__(
        self, model: str, versions: str, *, key: str, sentence: str, first: str = "",
        fixed: Sequence[str] = (),
    ) -> None:  # fmt: skip
        self.model, self.versions, self.key = model, versions, key
        self.sentence, self.first, self.fixed = sentence, first, tuple(fixed)

    def deconstruct(self) -> tuple[str, list[Any], dict[str, Any]]:
        options = {
            "key": self.key, "sentence": self.sentence, "first": self.first, "fixed": self.fixed,
        }  # fmt: skip
        return (self.__class__.__name__, [self.model, self.versions], options)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Triggers are no part of Django's picture of a table."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        self._drop(app_label, schema_editor, to_state.apps)
        for statement in self._statements(app_label, schema_editor, to_state.apps):
            schema_editor.execute(statement, params=None)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        self._drop(app_label, schema_editor, from_state.apps)

    def describe(self) -> str:
        return f"Every version of {self.model} is kept"

    @property
    def migration_name_fragment(self) -> str:
        return f"{self.model.lower()}_versions_are_kept"

    def _statements(
        self, app_label: str, editor: BaseDatabaseSchemaEditor, apps: Apps
    ) -> Sequence[str]:
        row, version = (apps.get_model(app_label, name) for name in (self.model, self.versions))
        quoted = editor.quote_name
        table, kept = quoted(row._meta.db_table), quoted(version._meta.db_table)
        columns = _shared(row, version)
        told = _literal(self.sentence)
        first = f"least(NEW.{quoted(self.first)}, moment)" if self.first else "moment"
        function, guard = self._names(row, version)
        keep = _KEEP.format(
            function=function,
            versions=kept,
            key=quoted(version._meta.get_field(self.key).column),
            first=first,
            columns=", ".join(map(quoted, columns)),
            old=", ".join(f"OLD.{quoted(one)}" for one in columns),
            new=", ".join(f"NEW.{quoted(one)}" for one in columns),
            fixed="".join(_FIXED.format(column=quoted(o), sentence=told) for o in self.fixed),
        )
        return (
            keep,
            _GUARD.format(guard=guard, sentence=told),
            f"CREATE TRIGGER keeps_versions AFTER INSERT OR UPDATE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {function}()",
            f"CREATE TRIGGER append_only_rows BEFORE INSERT OR UPDATE OR DELETE ON {kept} "
            f"FOR EACH ROW EXECUTE FUNCTION {guard}()",
            f"CREATE TRIGGER append_only_table BEFORE TRUNCATE ON {kept} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION {guard}()",
        )

    def _drop(self, app_label: str, editor: BaseDatabaseSchemaEditor, apps: Apps) -> None:
        row, version = (apps.get_model(app_label, name) for name in (self.model, self.versions))
        table, kept = (editor.quote_name(one._meta.db_table) for one in (row, version))
        for name, on in (
            ("keeps_versions", table), ("append_only_rows", kept), ("append_only_table", kept),
        ):  # fmt: skip
            editor.execute(f"DROP TRIGGER IF EXISTS {name} ON {on}", params=None)
        for function in self._names(row, version):
            editor.execute(f"DROP FUNCTION IF EXISTS {function}()", params=None)

    def _names(self, row: type[Model], version: type[Model]) -> tuple[str, str]:
        return f"{row._meta.db_table}_keeps_versions", f"{version._meta.db_table}_is_kept"


def _shared(row: type[Model], version: type[Model]) -> list[str]:
    """The columns that both have, but for the primary key."""
    ours = [str(one.column) for one in row._meta.concrete_fields if not one.primary_key]
    theirs = {one.column for one in version._meta.concrete_fields}
    return [name for name in ours if name in theirs]


def _literal(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"
