"""The values of one row judged field by field: kind, length, choices, range; no query."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Field, ForeignKey, Model

from inventory.ground.entries.faults import Fault


def column_faults(instance: Model, names: Iterable[str]) -> Iterator[Fault]:
    """Clean the named fields of a row in place, and tell what is wrong with each."""
    for name in names:
        field = instance._meta.get_field(name)
        if isinstance(field, ForeignKey):
            if not field.null and getattr(instance, name, None) is None:
                yield Fault(name, f"{_label(field)} is missing.")
            continue
        if field.null and getattr(instance, name) is None:
            continue
        try:
            cleaned = field.clean(getattr(instance, field.attname), instance)  # type: ignore[union-attr]
        except ValidationError as error:
            yield from (Fault(name, words) for words in said(error, field))
        else:
            setattr(instance, name, cleaned)


def missing_columns(instance: Model, stamped: frozenset[str]) -> Iterator[Fault]:
    """What a new row needs and has not; ``stamped`` fields are filled when it is written."""
    for field in instance._meta.concrete_fields:
        optional = field.blank or field.null or field.has_default() or field.has_db_default()
        if optional or field.primary_key or field.name in stamped:
            continue
        if getattr(instance, field.attname) in (None, ""):
            yield Fault(field.name, f"{_label(field)} is missing.")


def said(error: ValidationError, field: Any) -> list[str]:
    """The sentences of a validation error, with the field's name where Django says only "this"."""
    found = [str(words) for words in error.messages]
    return [words.replace("This field", _label(field)) for words in found]


def _label(field: Field[Any, Any]) -> str:
    words = str(field.verbose_name)
    return words[:1].upper() + words[1:]
