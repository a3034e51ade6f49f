"""Many tables made at once, by a migration that does not picture the whole house for each of them.

Django pictures (renders) every model that hangs together with a new one anew, for each that is
made: for a hundred tables that all hang together that is ten thousand models, and 20 seconds of
processor. Here all of them are told first, and pictured once.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation, OperationCategory
from django.db.migrations.state import ProjectState


class Tables(Operation):
    """Migration operation: make these models' tables, in this order.

    They may point at each other in a circle: keys to other tables are laid when all are there.
    """

    category = OperationCategory.ADDITION
    reduces_to_sql = True
    reversible = True

    def __init__(self, models: Sequence[CreateModel]) -> None:
        self.models = list(models)

    def deconstruct(self) -> tuple[str, list[Any], dict[str, Any]]:
        return (self.__class__.__name__, [self.models], {})

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        # Without a picture none is brought up to date; whoever asks for the next gets a whole one.
        state.__dict__.pop("apps", None)
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        return f"Make {len(self.models)} tables at once"

    @property
    def migration_name_fragment(self) -> str:
        return "tables"
