"""Models made of rows as Django makes them, without the work it does for those made by hand.

For a row with a value for every column, `Model.from_db` asks of each whether it was given, and sets
them one by one; of an answer made of hundreds of rows that is a good part.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db.models import Model
from django.db.models.base import ModelState
from django.db.models.signals import post_init, pre_init


class QuickRows:
    """Stands for a model where rows become its instances; ``_meta`` and ``from_db`` are asked."""

    def __init__(self, model: type[Model]) -> None:
        self._model, self._meta = model, model._meta
        self._names = tuple(field.attname for field in model._meta.concrete_fields)

    def from_db(self, db: str, field_names: Sequence[str], values: Sequence[Any]) -> Model:
        """The instance with these values, in the order of its columns; all or some of them."""
        if len(values) != len(self._names):
            return self._model.from_db(db, field_names, values)
        instance = self._model.__new__(self._model)
        state = ModelState()
        state.adding, state.db = False, db
        instance.__dict__["_state"] = state
        instance.__dict__.update(zip(self._names, values, strict=True))
        return instance


def quick(klass_info: dict[str, Any] | None) -> dict[str, Any] | None:
    """What Django's makers of rows know of a query, with models made quickly where nobody, the
    model itself or a receiver of signals, has a say in how they are made."""
    if klass_info is None:
        return None
    model = klass_info["model"]
    joined = [quick(each) for each in klass_info.get("related_klass_infos", ())]
    plain = (
        model.__init__ is Model.__init__
        and model.from_db.__func__ is Model.from_db.__func__  # type: ignore[attr-defined]
        and not pre_init.has_listeners(model)
        and not post_init.has_listeners(model)
    )
    made = QuickRows(model) if plain else model
    return {**klass_info, "model": made, "related_klass_infos": joined}
