"""Answers that are only ever told, written as JSON at once: nothing is settled row by row.

Serializers say what stands in an answer, for the API's description and for here; their own way of
telling it makes every field anew for each answer, and a value's text anew in each of its rows.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable
from functools import cache
from operator import attrgetter
from typing import Any, cast

from rest_framework import serializers
from rest_framework.fields import Field
from rest_framework.renderers import JSONRenderer
from rest_framework.utils.encoders import JSONEncoder

Known = defaultdict[Any, dict[int, tuple[Any, str]]]
Write = Callable[[Any, Known], str]

_encode = JSONEncoder(ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode
_text = json.encoder.encode_basestring


class Told(serializers.Serializer[Any]):
    """A row that is told and never read.

    A value that is not there (or whose owner is not) is an error, never a field left out.
    """


class ToldOnce(Told):
    """The same for values that stand in many rows of one answer: each is written once."""


class Written:
    """An answer as the text that goes out."""

    __slots__ = ("text",)

    def __init__(self, text: str) -> None:
        self.text = text


class WrittenRenderer(JSONRenderer):
    """JSON; what is written already goes out as it is, unless it is asked for with indents."""

    def render(
        self, data: Any, accepted_media_type: str | None = None, renderer_context: Any = None
    ) -> bytes:
        if not isinstance(data, Written):
            return bytes(super().render(data, accepted_media_type, renderer_context))
        if self.get_indent(accepted_media_type or "", renderer_context or {}) is None:
            return data.text.encode()
        return self.render(json.loads(data.text), accepted_media_type, renderer_context)


def written(kind: type[serializers.Serializer[Any]], value: Any) -> Written:
    """What the serializer says of a value, byte for byte as the framework writes it."""
    text = _writer(kind)(value, defaultdict(dict))
    # As the framework does: both would end a line for a reader of scripts.
    return Written(text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029"))


@cache
def _writer(kind: type[serializers.Serializer[Any]]) -> Write:
    parts = [
        (f"{_text(name)}:", _getter(field.source or name), _shown(field))
        for name, field in kind().fields.items()
    ]

    def write(value: Any, known: Known) -> str:
        told = [
            name + ("null" if (given := get(value)) is None else show(given, known))
            for name, get, show in parts
        ]
        return "{" + ",".join(told) + "}"

    return _once(kind, write) if issubclass(kind, ToldOnce) else write


def _once(kind: Any, write: Write) -> Write:
    def once(value: Any, known: Known) -> str:
        told = known[kind].get(id(value))
        if told is None:  # the value is kept too, so that its id stays its own
            told = known[kind][id(value)] = value, write(value, known)
        return told[1]

    return once


def _shown(field: Field[Any, Any, Any, Any]) -> Write:
    if isinstance(field, serializers.ListSerializer):
        each = _shown(cast(Any, field.child))
        return lambda values, known: "[" + ",".join([each(one, known) for one in values]) + "]"
    if isinstance(field, serializers.Serializer):
        return _writer(type(field))
    if type(field) is serializers.CharField:
        return lambda value, _: _text(str(value))
    if type(field) is serializers.IntegerField:
        return lambda value, _: str(int(value))
    return lambda value, _: _encode(field.to_representation(value))


def _getter(source: str) -> Callable[[Any], Any]:
    return (lambda instance: instance) if source == "*" else attrgetter(source)
