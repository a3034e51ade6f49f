"""Tables whose rows are written once: the database itself refuses to change them.

A guarded manager is not enough: `update()` through a base manager, and plain SQL, pass it by.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.apps.registry import Apps
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

# What a refused change is called where the name of a violated constraint is asked for.
CONSTRAINT = "append_only"
ROW_TRIGGER = "append_only_rows"
TABLE_TRIGGER = "append_only_table"

# 23001 (restrict_violation) reaches Python as IntegrityError. The first argument of the trigger is
# the sentence, those after it are the columns that may change.
FUNCTION = f"""
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP = 'UPDATE' AND TG_NARGS > 1 THEN
        IF to_jsonb(OLD) - TG_ARGV[1:] = to_jsonb(NEW) - TG_ARGV[1:] THEN
            RETURN NEW;
        END IF;
    END IF;
    RAISE EXCEPTION USING MESSAGE = TG_ARGV[0], ERRCODE = 'restrict_violation',
        CONSTRAINT = '{CONSTRAINT}', TABLE = TG_TABLE_NAME, SCHEMA = TG_TABLE_SCHEMA;
END
$$;
"""
DROP_FUNCTION = "DROP FUNCTION refuse_change();"


class AppendOnly(Operation):
    """Migration operation: no row of this model is updated or deleted, and the table not truncated.

    `sentence` is what a person reads who tries. `may_change` names columns (not fields) that an
    update may touch all the same, such as the end of a period that is open until it is closed.
    """

    reduces_to_sql = True
    reversible = True

    def __init__(self, model: str, *, sentence: str, may_change: Iterable[str] = ()) -> None:
        self.model = model
        self.sentence = sentence
        self.may_change = tuple(may_change)

    def deconstruct(self) -> tuple[str, list[Any], dict[str, Any]]:
        options = {"sentence": self.sentence, "may_change": self.may_change}
        return (self.__class__.__name__, [self.model], options)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Triggers are no part of Django's picture of a table."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        table = self._table(schema_editor, to_state.apps, app_label)
        arguments = ", ".join(_literal(text) for text in (self.sentence, *self.may_change))
        for name, when, each in (
            (ROW_TRIGGER, "UPDATE OR DELETE", "ROW"),
            (TABLE_TRIGGER, "TRUNCATE", "STATEMENT"),
        ):
            schema_editor.execute(
                f"CREATE TRIGGER {name} BEFORE {when} ON {table} FOR EACH {each} "
                f"EXECUTE FUNCTION refuse_change({arguments})",
                params=None,
            )

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        table = self._table(schema_editor, from_state.apps, app_label)
        for name in (ROW_TRIGGER, TABLE_TRIGGER):
            schema_editor.execute(f"DROP TRIGGER {name} ON {table}", params=None)

    def describe(self) -> str:
        return f"Rows of {self.model} are written once"

    @property
    def migration_name_fragment(self) -> str:
        return f"{self.model.lower()}_append_only"

    def _table(self, editor: BaseDatabaseSchemaEditor, apps: Apps, app_label: str) -> str:
        return editor.quote_name(apps.get_model(app_label, self.model)._meta.db_table)


def _literal(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"
