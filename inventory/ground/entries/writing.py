"""Many rows written in a few statements, with their history where the model keeps one."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db import connection
from django.db.models import Model

M = TypeVar("M", bound=Model)
BATCH = 1000


def columns_of(row: Model) -> dict[str, Any]:
    """The values of a row's own columns by name of the column's attribute."""
    fields = row._meta.concrete_fields
    return {field.attname: getattr(row, field.attname) for field in fields if not field.primary_key}


def insert(model: type[M], rows: Sequence[M], *, by: User, at: datetime) -> None:
    """Insert new rows; their pk is set afterwards."""
    if rows:
        model._default_manager.bulk_create(rows, batch_size=BATCH)
        _keep_history(model, rows, by=by, at=at, update=False)


def update(
    model: type[M], rows: Sequence[M], names: Collection[str], *, by: User, at: datetime
) -> None:
    """Write the named columns of rows that are there already, and locked.

    One INSERT … ON CONFLICT a batch: an UPDATE of many rows by CASE grows with rows times columns.
    """
    if not rows:
        return
    fields = sorted({model._meta.get_field(_name(model, name)).name for name in names})
    model._default_manager.bulk_create(
        rows,
        batch_size=BATCH,
        update_conflicts=True,
        update_fields=fields,
        unique_fields=[str(model._meta.pk.name)],
    )
    _keep_history(model, rows, by=by, at=at, update=True)


def note_change(model: type[M], rows: Sequence[M], *, by: User, at: datetime) -> None:
    """Say in the history of rows that something beside their own columns was changed."""
    if rows:
        _keep_history(model, rows, by=by, at=at, update=True)


def settle() -> None:
    """Have keys to other rows checked now and not at the commit, where nobody could put a refusal
    into words: a row that was named may have been deleted meanwhile.
    """
    connection.check_constraints()


def version_of(row: Model) -> int | None:
    """The number of the latest version of a row whose model keeps a history; else None."""
    history = getattr(row, "history", None)
    if history is None:
        return None
    number: int | None = (
        history.order_by("-history_id").values_list("history_id", flat=True).first()
    )
    return number


def _keep_history(
    model: type[M], rows: Sequence[M], *, by: User, at: datetime, update: bool
) -> None:
    """The history of rows just written: one statement that copies them, whatever their number.

    The library's own bulk write sends every value a second time, which took longer than all else.
    """
    history: Any = getattr(model, "history", None)
    if history is None:
        return
    quoted = connection.ops.quote_name
    kept = ", ".join(quoted(field.column) for field in history.model.tracked_fields)
    key = quoted(str(model._meta.pk.column))
    sql = (
        f"INSERT INTO {quoted(history.model._meta.db_table)} "  # noqa: S608
        f"({kept}, history_relation_id, history_date, history_type, history_user_id) "
        f"SELECT {kept}, {key}, %s, %s, %s FROM {quoted(model._meta.db_table)} "
        f"WHERE {key} = ANY(%s) ORDER BY {key}"
    )
    with connection.cursor() as cursor:
        cursor.execute(sql, [at, "~" if update else "+", by.pk, [row.pk for row in rows]])


def _name(model: type[Model], attname: str) -> str:
    for field in model._meta.concrete_fields:
        if attname in (field.attname, field.name):
            return field.name
    raise LookupError(attname)
