"""One thing that has to be in order, and how it is looked over."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.db import connection

MOST = 100
"""No check tells more faults than this: whoever reads them mends the cause first."""

Faults = Iterable[str]


@dataclass(frozen=True, slots=True)
class Looked:
    """What one check found. ``over``: how much it looked at, in words; faults: a sentence each."""

    says: str
    over: str
    faults: tuple[str, ...]
    more: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """A rule that holds over all rows, in words, and how its faults are found.

    ``over`` counts what is looked at. With ``since`` only what postings after that number touched
    is looked over; checks that cannot be narrowed so have ``narrows`` False and are left out then.
    """

    name: str
    says: str
    faults: Callable[[int | None], Faults]
    over: Callable[[int | None], str]
    narrows: bool = False

    def look(self, since: int | None = None) -> Looked:
        """Look it over; no more than `MOST` faults are told."""
        found = list(islice(self.faults(since), MOST + 1))
        return Looked(self.says, self.over(since), tuple(found[:MOST]), len(found) > MOST)


def by_sql(query: str, sentence: str) -> Callable[[int | None], Faults]:
    """Faults by a query: each row fills the sentence, ``{0}`` with its first column."""

    def faults(since: int | None) -> Faults:
        return [sentence.format(*row) for row in asked(f"{query} LIMIT {MOST + 1}")]

    return faults


def count_of(table: str, words: str) -> Callable[[int | None], str]:
    """How many rows a table has, in words."""

    def over(since: int | None) -> str:
        ((count,),) = asked(f"SELECT count(*) FROM {table}")  # noqa: S608
        return f"{count:,} {words}"

    return over


def asked(query: str) -> list[tuple[Any, ...]]:
    """The rows of a query that takes nothing from outside."""
    with connection.cursor() as cursor:
        cursor.execute(query)
        return list(cursor.fetchall())
