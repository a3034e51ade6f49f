"""Whole columns out of the database: packed by the server, unpacked by numpy, no row in Python."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt
from django.db import connection

Column = npt.NDArray[Any]
_SENT = {
    "i8": "int8send({}::bigint)",
    "i4": "int4send({}::integer)",
    "f8": "float8send({}::float8)",
}


def columns_of(query: str, given: Mapping[str, Any], kinds: Mapping[str, str]) -> dict[str, Column]:
    """The columns of a query by name; ``kinds`` are ``i4``, ``i8`` or ``f8`` in its own order.

    None of them may be null. One query; the entries of all columns are in the same order, which is
    any. A column holds a thousand million bytes at the most.
    """
    packed = ", ".join(
        f"coalesce(string_agg({_SENT[kind].format(f'q.{name}')}, ''::bytea), ''::bytea)"
        for name, kind in kinds.items()
    )
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {packed} FROM ({query}) q", given)  # noqa: S608
        found = cursor.fetchone()
    return {
        name: np.frombuffer(column, f">{kind}").astype(kind)
        for (name, kind), column in zip(kinds.items(), found, strict=True)
    }


def rows_of(query: str, given: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    """The rows of a query, where there are few or they hold text."""
    with connection.cursor() as cursor:
        cursor.execute(query, given)
        return list(cursor.fetchall())
