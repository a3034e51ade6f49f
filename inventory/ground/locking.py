"""Rows locked until the transaction ends, together with the rows they point to as they are now."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

M = TypeVar("M", bound=Model)


def locked_row(rows: QuerySet[M], pk: Any) -> M:
    """The row with this key, locked against others who would change it, then read.

    ``rows`` may join what the row points to (`select_related`). Raises the model's DoesNotExist.
    """
    _lock(rows.model, [pk])
    return rows.get(pk=pk)


def locked_rows(rows: QuerySet[M], keys: Collection[Any]) -> dict[Any, M]:
    """The rows with these keys, locked in the order of their keys, then read; by key."""
    _lock(rows.model, keys)
    return {row.pk: row for row in rows.filter(pk__in=keys).order_by("pk")}


def _lock(model: type[Model], keys: Collection[Any]) -> None:
    """Two questions, not one: whoever waits for a lock inside a join is given the changed row with
    the joined rows of before, and no row at all where the join no longer holds for those."""
    rows = model._base_manager.filter(pk__in=list(keys)).order_by("pk")
    list(rows.select_for_update(no_key=True).values_list("pk"))
