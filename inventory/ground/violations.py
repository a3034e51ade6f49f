"""What the database refuses, as a sentence: the violated constraint's own where it has one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import psycopg
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import DatabaseError, IntegrityError, models, transaction
from django.db.models import ProtectedError, RestrictedError
from django.utils.text import capfirst

from inventory.ground.append_only import CONSTRAINT as APPEND_ONLY
from inventory.ground.refusal import Refusal

_KEY = re.compile(r"Key \(([^)]*)\)")


class Violated(Refusal):
    """A rule that lives in the database was about to be broken."""

    def __init__(self, sentence: str, *, constraint: str = "", field: str | None = None) -> None:
        self.constraint = constraint
        super().__init__(sentence, field=field)


@contextmanager
def named_violation(**instead: type[Refusal] | str) -> Iterator[None]:
    """Turn a violated constraint into its own sentence, or into the refusal given for its name.

    The block runs in a savepoint, so that the transaction around it stays usable:

        with named_violation(place_code_is_unique=CodeIsTaken):
            Place.objects.create(...)
    """
    try:
        with transaction.atomic():
            yield
    except (ProtectedError, RestrictedError, IntegrityError) as error:
        found = violation(error)
        other = instead.get(found.constraint)
        if other is None:
            raise found from error
        if isinstance(other, str):
            raise Violated(other, constraint=found.constraint) from error
        raise other(field=found.field) from error


def violation(error: DatabaseError) -> Violated:
    """The refusal for what the database, or Django on its behalf, would not do."""
    if isinstance(error, (ProtectedError, RestrictedError)):
        return Violated(_still_needed(error), constraint="still_needed")
    cause = error.__cause__
    if not isinstance(cause, psycopg.Error):
        return Violated("The database refused this, and nothing was changed.")
    name = cause.diag.constraint_name or ""
    if name == APPEND_ONLY:
        return Violated(cause.diag.message_primary or "", constraint=name)
    own = _own_sentence(name)
    if own:
        return Violated(own, constraint=name)
    return _by_kind(cause, name)


def _own_sentence(name: str) -> str | None:
    for model in apps.get_models():
        for constraint in model._meta.constraints:
            if constraint.name == name:
                return str(constraint.get_violation_error_message())
    return None


def _by_kind(cause: psycopg.Error, name: str) -> Violated:
    model = _model(cause.diag.table_name)
    what = str(model._meta.verbose_name) if model else "row"
    if isinstance(cause, psycopg.errors.UniqueViolation):
        field, label = _field(model, _columns(cause))
        sentence = f"There is already a {what} with this {label}."
    elif isinstance(cause, psycopg.errors.ForeignKeyViolation):
        field, label = _field(model, _columns(cause))
        sentence = f"A {what} refers to this, or to something that is no longer there ({label})."
    elif isinstance(cause, psycopg.errors.NotNullViolation):
        field, label = _field(model, [cause.diag.column_name or ""])
        sentence = f"{capfirst(label)} is missing."
    elif isinstance(cause, psycopg.errors.CheckViolation):
        field, label = _field(model, [_checked_column(cause, name)])
        sentence = f"{capfirst(label)} holds something that a {what} cannot have."
    elif isinstance(cause, psycopg.errors.NumericValueOutOfRange):
        field, sentence = None, "A number in this is too large to be kept."
    else:
        field, sentence = None, "The database refused this, and nothing was changed."
    return Violated(sentence, constraint=name, field=field)


def _still_needed(error: ProtectedError | RestrictedError) -> str:
    users = error.protected_objects if isinstance(error, ProtectedError) else None
    found = users if users is not None else error.restricted_objects  # type: ignore[union-attr]
    counts: dict[type[models.Model], int] = {}
    for row in found:
        counts[type(row)] = counts.get(type(row), 0) + 1
    told = ", ".join(
        f"{count} {model._meta.verbose_name if count == 1 else model._meta.verbose_name_plural}"
        for model, count in sorted(counts.items(), key=lambda pair: str(pair[0]._meta))
    )
    return f"This cannot be deleted: {told} would be left without it."


def _model(table: str | None) -> type[models.Model] | None:
    every = apps.get_models(include_auto_created=True)
    return next((model for model in every if model._meta.db_table == table), None)


def _columns(cause: psycopg.Error) -> list[str]:
    match = _KEY.search(cause.diag.message_detail or "")
    return [part.strip() for part in match[1].split(",")] if match else []


def _checked_column(cause: psycopg.Error, name: str) -> str:
    # PostgreSQL names the check behind a positive number <table>_<column>_check.
    return name.removeprefix(f"{cause.diag.table_name}_").removesuffix("_check")


def _field(model: type[models.Model] | None, columns: list[str]) -> tuple[str | None, str]:
    """The name of the one field that these columns are, and words for them."""
    labels = []
    names = []
    for column in columns:
        try:
            found = _by_column(model, column)
        except FieldDoesNotExist:
            labels.append(column.replace("_", " "))
            continue
        names.append(found.name)
        labels.append(str(found.verbose_name))
    return (names[0] if len(names) == 1 else None), " and ".join(labels) or "value"


def _by_column(model: type[models.Model] | None, column: str) -> models.Field[object, object]:
    for field in model._meta.concrete_fields if model else ():
        if field.column == column:
            return field
    raise FieldDoesNotExist(column)
