"""Querysets whose statement is built once a process and planned once a connection.

For the few that are asked all day long: of a question that finds a handful of rows, building its
statement and planning it afresh take several times as long as the answer. Rows come out as from
the queryset itself, models with what is joined to them or plain rows; the tests hold that.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cached_property
from typing import Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.models import QuerySet

from inventory.ground.quick_rows import quick
from inventory.ground.together import Asked

Row = TypeVar("Row")
Kind = type[str] | type[int] | type[Decimal] | type[date] | type[datetime] | list[Any]
"""What a value is; ``[int]`` and ``[str]`` are as many as there are."""

# Values that nobody asks for, by which the places of the given ones are found in the statement;
# small enough for every column, or Django would know that there can be no such row.
_STAND_INS: dict[Any, Callable[[int], Any]] = {
    str: lambda number: f"\N{REPLACEMENT CHARACTER} {number}",
    int: lambda number: 31_000 + number,
    Decimal: lambda number: Decimal(31_000 + number),
    date: lambda number: date.min + timedelta(days=number),
    datetime: lambda number: datetime(1, 1, 2, tzinfo=UTC) + timedelta(seconds=number),
}
# How Django writes several values, and how the server takes any number of them as one.
_SEVERAL = (("IN (%s)", "= ANY(%s)"), ("(ARRAY[%s])", "%s"), ("ARRAY[%s]", "%s"))


class Planned(Generic[Row]):
    """Called with values, it answers with the rows of ``build(*values)``, in a list.

    ``build`` gets a stand-in for each of ``kinds`` and must give each unchanged to a filter or an
    expression, several of them (``[int]``) to one ``__in`` or ``__overlap``. It is called once.
    """

    def __init__(self, build: Callable[..., QuerySet[Any, Row]], *kinds: Kind) -> None:
        self._build, self._kinds = build, kinds

    def __call__(self, *values: Any) -> list[Row]:
        return self.asked(*values).answer()

    def asked(self, *values: Any) -> Asked[list[Row]]:
        """The same question, to be sent with others."""
        built = self._built
        given = [values[place] if is_value else place for is_value, place in built.places]
        return Asked(built.query, given, built.rows)

    @cached_property
    def _built(self) -> _Built:
        rows: Any = self._build(*map(_stand_in, self._kinds, range(len(self._kinds))))
        if rows._prefetch_related_lookups:
            raise ValueError("What is prefetched is asked for by a statement of its own.")
        compiler = rows.query.get_compiler(DEFAULT_DB_ALIAS)
        query, params = compiler.as_sql()
        several = [_key(kind, at) for at, kind in enumerate(self._kinds) if isinstance(kind, list)]
        for place, param in enumerate(params):
            if param in several:
                query = _one_for_several(query, place)
        return _Built(
            query,
            self._places(params),
            rows._iterable_class,
            rows._fields,
            compiler.select,
            quick(compiler.klass_info),
            compiler.annotation_col_map,
            compiler.get_converters([column for column, *_ in compiler.select]),
        )

    def _places(self, params: Iterable[Any]) -> list[tuple[bool, Any]]:
        """For each place of the statement whether it takes a value, and which, or what it holds."""
        at = {_key(kind, number): number for number, kind in enumerate(self._kinds)}
        places = [
            (True, at[param]) if isinstance(param, Hashable) and param in at else (False, param)
            for param in params
        ]
        missing = set(at.values()) - {place for is_value, place in places if is_value}
        if missing:
            raise ValueError(f"The statement has no place for value {min(missing)}.")
        return places


@dataclass(frozen=True, slots=True)
class _Built:
    """A statement with what Django's makers of rows need to know; no session hangs on it."""

    query: str
    places: list[tuple[bool, Any]]
    maker: Callable[[Any], Iterable[Any]]
    fields: Any
    select: Any
    klass_info: Any
    annotation_col_map: Any
    converters: dict[int, tuple[list[Callable[..., Any]], Any]]

    def rows(self, found: list[Any]) -> list[Any]:
        """What Django makes of the rows that were found."""
        return list(self.maker(_Answered(self, found)))


def _stand_in(kind: Any, number: int) -> Any:
    return [_STAND_INS[kind[0]](number)] if isinstance(kind, list) else _STAND_INS[kind](number)


def _key(kind: Any, number: int) -> Any:
    found = _stand_in(kind, number)
    return found[0] if isinstance(kind, list) else found


def _one_for_several(query: str, place: int) -> str:
    """The statement, with the list around one of its places replaced by a parameter for all."""
    at = -1
    for _ in range(place + 1):
        at = query.index("%s", at + 1)
    for written, taken in _SEVERAL:
        begin = at - written.index("%s")
        if query.startswith(written, begin):
            return query[:begin] + taken + query[begin + len(written) :]
    raise ValueError("Several values stand in IN or in an array, one stand-in alone.")


class _Answered:
    """What Django's makers of rows look at of a queryset, with its rows found already."""

    def __init__(self, built: _Built, found: list[Any]) -> None:
        self.db, self.query = DEFAULT_DB_ALIAS, self
        self._known_related_objects: dict[Any, Any] = {}
        self._fields, self._found = built.fields, found
        self.select, self.klass_info = built.select, built.klass_info
        self.annotation_col_map, self._converters = built.annotation_col_map, built.converters

    def get_compiler(self, using: str) -> _Answered:
        return self

    def execute_sql(self, **options: Any) -> list[Any]:
        return self._found

    def results_iter(self, *results: Any, **options: Any) -> Iterable[Any]:
        return map(self._converted, self._found) if self._converters else self._found

    def _converted(self, row: Any) -> tuple[Any, ...]:
        values = list(row)
        for place, (converters, expression) in self._converters.items():
            for convert in converters:
                values[place] = convert(values[place], expression, connections[DEFAULT_DB_ALIAS])
        return tuple(values)
