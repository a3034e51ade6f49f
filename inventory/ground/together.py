"""Statements that do not wait for each other: sent at once, with one wait for all their answers.

Of small statements, going to the server and back is a good part of the price.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.db import DEFAULT_DB_ALIAS, connections

from inventory.ground.prepared import prepared_cursor

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Asked(Generic[T]):
    """A statement of one fixed text with its values, and how its rows are read."""

    query: str
    given: Any
    read: Callable[[list[Any]], T]

    def answer(self) -> T:
        """The answer of this statement alone."""
        with prepared_cursor() as cursor:
            cursor.execute(self.query, self.given)
            rows = cursor.fetchall()
        return self.read(rows)


class Later(Generic[T]):
    """An answer that is there once all have been sent; read from its rows once."""

    __slots__ = ("_cursor", "_read")

    def __init__(self, asked: Asked[T]) -> None:
        self._read = asked.read
        self._cursor = prepared_cursor()
        self._cursor.execute(asked.query, asked.given)

    def told(self) -> T:
        """The answer; to be called once, after the statement was sent."""
        with self._cursor as cursor:
            return self._read(cursor.fetchall())


@contextmanager
def together() -> Iterator[None]:
    """Every `Later` made within is sent with the others; they are told after it.

    Raises Django's database errors; of several statements, one that fails takes the rest with it.
    """
    with in_turn():
        yield


@contextmanager
def in_turn() -> Iterator[Callable[[], None]]:
    """The same, but a `Later` may be told within, while the server is at those behind it.

    What is yielded is called between those that shall not wait for each other.
    """
    connection = connections[DEFAULT_DB_ALIAS]
    connection.ensure_connection()
    session: Any = connection.connection
    with connection.wrap_database_errors, session.pipeline() as pipeline:
        yield pipeline.sync
