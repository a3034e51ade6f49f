"""What may be there only once, judged for many rows with one query a constraint."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from django.db.models import F, Field, Model, Q, QuerySet, UniqueConstraint
from django.db.models.functions import Lower, Upper

from inventory.ground.entries.faults import Fault
from inventory.ground.entries.rules import holds

M = TypeVar("M", bound=Model)
Key = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Once:
    """Fields whose values together may occur once; those in ``folded`` whatever their capitals."""

    fields: tuple[str, ...]
    folded: frozenset[str]
    sentence: str
    condition: Q | None = None
    nulls_alike: bool = False

    def key(self, row: Model) -> Key | None:
        """The values of a row, or None where this row may be there as often as it likes."""
        if self.condition is not None and holds(self.condition, row) is not True:
            return None
        values = [getattr(row, _attname(row, name)) for name in self.fields]
        if None in values and not self.nulls_alike:
            return None
        return tuple(
            value.upper() if name in self.folded and isinstance(value, str) else value
            for name, value in zip(self.fields, values, strict=True)
        )


def unique_faults(rows: Sequence[M]) -> Iterator[tuple[int, Fault]]:
    """Rows, by position, that are there already or stand among ``rows`` twice."""
    if not rows:
        return
    for once in uniques_of(type(rows[0])):
        keys = [once.key(row) for row in rows]
        seen = _held_already(type(rows[0]), once, rows, {key for key in keys if key is not None})
        for position, (row, key) in enumerate(zip(rows, keys, strict=True)):
            if key is None:
                continue
            holder = seen.setdefault(key, row)
            if holder is not row and (row.pk is None or holder.pk != row.pk):
                yield position, Fault(once.fields[-1], once.sentence)


def uniques_of(model: type[Model]) -> list[Once]:
    """Everything that a model allows once: unique fields and unique constraints."""
    fields = [
        Once((field.name,), frozenset(), _there_already(model, field))
        for field in model._meta.concrete_fields
        if field.unique and not field.primary_key
    ]
    constraints = [
        _read(constraint)
        for constraint in model._meta.constraints
        if isinstance(constraint, UniqueConstraint)
    ]
    return fields + constraints


def _read(constraint: UniqueConstraint) -> Once:
    names: list[str] = list(constraint.fields)
    folded: set[str] = set()
    for expression in constraint.expressions:
        inner: Any = expression
        if isinstance(expression, Upper | Lower):
            inner = expression.get_source_expressions()[0]
            folded.add(inner.name)
        if not isinstance(inner, F):
            raise TypeError(f"{constraint.name}: only columns, in Upper or Lower, are known here")
        names.append(str(inner.name))  # type: ignore[attr-defined]
    return Once(
        tuple(names),
        frozenset(folded),
        str(constraint.get_violation_error_message()),
        constraint.condition,
        constraint.nulls_distinct is False,
    )


def _held_already(model: type[M], once: Once, rows: Sequence[M], keys: set[Key]) -> dict[Key, M]:
    """The rows of the table that have one of these keys and will keep it."""
    changing = {row.pk for row in rows if row.pk is not None}
    queryset = _narrowed(model._default_manager.all(), once, keys)
    found = {once.key(row): row for row in queryset if row.pk not in changing}
    return {key: row for key, row in found.items() if key is not None and key in keys}


def _narrowed(queryset: QuerySet[M], once: Once, keys: set[Key]) -> QuerySet[M]:
    """Only rows whose most telling column has one of the wanted values; others cannot match."""
    columns = [{key[place] for key in keys} for place in range(len(once.fields))]
    whole = [place for place, values in enumerate(columns) if None not in values]
    if not keys or not whole:
        return queryset if keys else queryset.none()
    place = max(whole, key=lambda position: len(columns[position]))
    name = once.fields[place]
    if name in once.folded:
        folded: QuerySet[M] = queryset.annotate(as_folded=Upper(name))  # type: ignore[assignment]
        return folded.filter(as_folded__in=columns[place])
    return queryset.filter(**{f"{name}__in": columns[place]})


def _attname(row: Model, name: str) -> str:
    return str(row._meta.get_field(name).attname)  # type: ignore[union-attr]


def _there_already(model: type[Model], field: Field[Any, Any]) -> str:
    what = str(model._meta.verbose_name)
    article = "An" if what[:1].lower() in "aeiou" else "A"
    return f"{article} {what} of this {field.verbose_name} is there already."
