"""Answers that are only ever told, written as JSON at once: nothing is settled row by row.

Serializers say what stands in an answer, for the API's description and for here; their own way of
telling it makes every field anew for each answer, and a value's text anew in each of its rows.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from operator import attrgetter
from typing import Any, cast

from rest_framework import serializers
from rest_framework.fields import Field
from rest_framework.renderers import JSONRenderer
from rest_framework.utils.encoders import JSONEncoder

Known = defaultdict[Any, dict[int, tuple[Any, bytes]]]
Write = Callable[[Any, Known], bytes]

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

    def __init__(self, text: bytes) -> None:
        self.text = text


class WrittenRenderer(JSONRenderer):
    """JSON; what is written already goes out as it is, unless it is asked for with indents."""

    def render(
        self, data: Any, accepted_media_type: str | None = None, renderer_context: Any = None
    ) -> bytes:
        if not isinstance(data, Written):
            return bytes(super().render(data, accepted_media_type, renderer_context))
        if self.get_indent(accepted_media_type or "", renderer_context or {}) is None:
            return data.text
        return self.render(json.loads(data.text), accepted_media_type, renderer_context)


def written(kind: type[serializers.Serializer[Any]], value: Any) -> Written:
    """What the serializer says of a value, byte for byte as the framework writes it."""
    return Written(_writer(kind)(value, defaultdict(dict)))


@cache
def _writer(kind: type[serializers.Serializer[Any]]) -> Write:
    fields = kind().fields
    shown = [_or_null(_shown(field)) for field in fields.values()]
    row = _utf8("{" + ",".join(f"{_text(name)}:%s" for name, _ in fields.items()) + "}")
    get = _all_of([field.source or name for name, field in fields.items()])

    def write(value: Any, known: Known) -> bytes:
        told = [show(given, known) for show, given in zip(shown, get(value), strict=True)]
        return row % tuple(told)

    def write_words(value: Any, known: Known) -> bytes:
        told = [
            _quoted(given) if type(given) is str else _words(given, known) for given in get(value)
        ]
        return row % tuple(told)

    if all(show is _words for show in shown):
        write = write_words
    return _once(kind, write) if issubclass(kind, ToldOnce) else write


def _once(kind: Any, write: Write) -> Write:
    def once(value: Any, known: Known) -> bytes:
        told = known[kind].get(id(value))
        if told is None:  # the value is kept too, so that its id stays its own
            told = known[kind][id(value)] = value, write(value, known)
        return told[1]

    return once


def _each_once(kind: Any, once: Write) -> Write:
    """A list of those, of which most are written already."""

    def several(values: Any, known: Known) -> bytes:
        there = known[kind]
        told = [there[id(one)][1] if id(one) in there else once(one, known) for one in values]
        return b"[%s]" % b",".join(told)

    return several


def _shown(field: Field[Any, Any, Any, Any]) -> Write:
    if isinstance(field, serializers.ListSerializer):
        kind = type(field.child)
        each = _shown(cast(Any, field.child))
        if issubclass(kind, ToldOnce):
            return _each_once(kind, each)
        return lambda values, known: b"[%s]" % b",".join([each(one, known) for one in values])
    if isinstance(field, serializers.Serializer):
        return _writer(type(field))
    if type(field) is serializers.CharField:
        return _words
    if type(field) is serializers.IntegerField:
        return lambda value, _: b"%d" % int(value)
    return lambda value, _: _utf8(_encode(field.to_representation(value)))


def _words(value: Any, _: Known) -> bytes:
    if type(value) is str:
        return _quoted(value)
    return b"null" if value is None else _quoted(str(value))


@lru_cache(maxsize=10_000)  # what rules and sources are called, and most of what they say of a car
def _quoted(text: str) -> bytes:
    return _utf8(_text(text))


def _utf8(text: str) -> bytes:
    if not text.isascii():  # as the framework does: both would end a line for a reader of scripts
        text = text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
    return text.encode()


def _or_null(show: Write) -> Write:
    return (
        show
        if show is _words
        else lambda value, known: b"null" if value is None else show(value, known)
    )


def _all_of(sources: Sequence[str]) -> Callable[[Any], Sequence[Any]]:
    """What stands at each source of a value, one after the other; ``*`` is the value itself."""
    if len(sources) > 1 and "*" not in sources:
        return attrgetter(*sources)
    gets = [_getter(source) for source in sources]
    return lambda value: [get(value) for get in gets]


def _getter(source: str) -> Callable[[Any], Any]:
    return (lambda instance: instance) if source == "*" else attrgetter(source)
