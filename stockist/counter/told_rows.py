"""Rows of an answer that are only ever told: what is asked of each is settled once, not by row."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from operator import attrgetter
from typing import Any

from rest_framework import serializers

Got = Callable[[Any], Any]


class Told(serializers.Serializer[Any]):
    """A serializer that reads and never writes, for answers of thousands of rows.

    Fields and their sources are the framework's, and so is the API's description. What differs:
    each source is looked up by a getter made once, and a value that is not there (or whose owner
    is not) is an error, never a field left out.
    """

    @cached_property
    def _told(self) -> list[tuple[str, Got, Got]]:
        return [
            (name, _getter(field.source or name), field.to_representation)
            for name, field in self.fields.items()
        ]

    def to_representation(self, instance: Any) -> dict[str, Any]:
        return {
            name: None if (value := get(instance)) is None else show(value)
            for name, get, show in self._told
        }


class ToldOnce(Told):
    """The same for values that stand in many rows of one answer: each is worked out once.

    Serve one answer with one serializer: what was told is kept, with the value, as long as it.
    """

    @cached_property
    def _known(self) -> dict[int, tuple[Any, dict[str, Any]]]:
        return {}

    def to_representation(self, instance: Any) -> dict[str, Any]:
        known = self._known.get(id(instance))
        if known is None:  # the value is kept too, so that its id stays its own
            known = self._known[id(instance)] = instance, super().to_representation(instance)
        return known[1]


def _getter(source: str) -> Got:
    return (lambda instance: instance) if source == "*" else attrgetter(source)
