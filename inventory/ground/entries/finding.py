"""Rows found by their natural key: many with one query, whatever their capitals."""

from __future__ import annotations

from collections.abc import Collection
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
        self.columns = {field.name for field in model._meta.concrete_fields}

    def key_of(self, values: Any) -> Key:
        """The key of a mapping of values, or of a row: capitals folded, rows by their pk."""
        read = values.get if hasattr(values, "get") else lambda name: getattr(values, name)
        return tuple(fold(read(name)) for name in self.key)

    def find(self, keys: Collection[Key], *, lock: bool = False) -> dict[Key, M]:
        """The rows that have one of these keys. Raises SeveralAlike."""
        rows = self._narrowed({key[0] for key in keys})
        if lock:
            rows = rows.select_for_update(of=("self",), no_key=True)
        found: dict[Key, M] = {}
        wanted = set(keys)
        for row in rows.order_by("pk"):
            key = self._key_of_row(row)
            if key in wanted and found.setdefault(key, row) is not row:
                what = self.model._meta.verbose_name_plural
                raise SeveralAlike(
                    f"There are several {what} called “{row}”: they need names apart."
                )
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
        rows = self.model._default_manager.all()
        first = self.model._meta.get_field(self.key[0])
        if isinstance(first, CharField):
            firsts.discard("")
            return rows.annotate(as_folded=Upper(first.name)).filter(as_folded__in=firsts)
        if isinstance(first, ForeignKey):
            return rows.filter(Q(**{f"{first.name}__in": firsts}))
        return rows.filter(**{f"{first.name}__in": firsts})


def fold(value: Any) -> Any:
    """A part of a key: text in capitals, a row as its pk, None as the empty text."""
    if isinstance(value, Model):
        return value.pk
    return value.strip().upper() if isinstance(value, str) else value
