"""Rows found by their natural key: many with one query, whatever their capitals."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Generic, TypeVar

from django.db.models import CharField, ForeignKey, Model, Q, QuerySet
from django.db.models.functions import Upper

from inventory.ground.refusal import Refusal

M = TypeVar("M", bound=Model)
Key = tuple[Any, ...]


class NoLongerThere(Refusal):
    """The row was deleted while somebody looked at it."""

    status = 404
    sentence = "This is no longer there: somebody has deleted it since you opened it."


class SeveralAlike(Refusal):
    """A key that ought to name one row names several."""


class Finder(Generic[M]):
    """Finds rows of a model by ``key``, its natural key; keys are as ``key_of`` makes them."""

    def __init__(self, model: type[M], key: tuple[str, ...]) -> None:
        self.model = model
        self.key = key
        fields: list[Any] = [model._meta.get_field(name) for name in key]
        self._defaults = {field.name: field.get_default() for field in fields}
        self.columns = {field.name for field in model._meta.concrete_fields}

    def key_of(self, values: Mapping[str, Any]) -> Key:
        """The key of a mapping of values: capitals folded, rows by their pk."""
        return tuple(fold(values.get(name, self._defaults[name])) for name in self.key)

    def find(
        self, keys: Collection[Key], *, lock: bool = False, several: set[Key] | None = None
    ) -> dict[Key, M]:
        """The rows that have one of these keys.

        A key that several rows share goes into ``several``; without that, raises SeveralAlike.
        """
        rows = self._narrowed({key[0] for key in keys})
        if lock:
            rows = rows.select_for_update(of=("self",), no_key=True)
        found: dict[Key, M] = {}
        wanted = set(keys)
        for row in rows.order_by("pk"):
            key = self._key_of_row(row)
            if key not in wanted or found.setdefault(key, row) is row:
                continue
            if several is None:
                raise SeveralAlike(several_alike(row))
            several.add(key)
        return found

    def locked(self, pk: Any) -> M:
        """One row, locked against others who would change it too. Raises NoLongerThere."""
        rows = self.model._default_manager.select_for_update(of=("self",), no_key=True)
        row = rows.filter(pk=pk).first()
        if row is None:
            raise NoLongerThere
        return row

    def _key_of_row(self, row: M) -> Key:
        names = (self.model._meta.get_field(name) for name in self.key)
        return tuple(fold(getattr(row, field.attname)) for field in names)  # type: ignore[union-attr]

    def _narrowed(self, firsts: set[Any]) -> QuerySet[M]:
        rows: QuerySet[M] = self.model._default_manager.all()
        first = self.model._meta.get_field(self.key[0])
        if isinstance(first, CharField):
            firsts.discard("")
            folded: QuerySet[M] = rows.annotate(as_folded=Upper(first.name))  # type: ignore[assignment]
            return folded.filter(as_folded__in=firsts)
        if isinstance(first, ForeignKey):
            return rows.filter(Q(**{f"{first.name}__in": firsts}))
        return rows.filter(**{f"{first.name}__in": firsts})


def several_alike(row: Model) -> str:
    """What is said where a name is that of several rows."""
    return f"There are several {row._meta.verbose_name_plural} “{row}”: give them names apart."


def fold(value: Any) -> Any:
    """A part of a key: text in capitals, a row as its pk."""
    if isinstance(value, Model):
        return value.pk
    return value.strip().upper() if isinstance(value, str) else value
