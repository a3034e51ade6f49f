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

    None of them may be null. One query, and the server's work memory raised for it alone.
    """
    packed = " || ".join(_SENT[kind].format(f"q.{name}") for name, kind in kinds.items())
    wanted = f"SELECT coalesce(string_agg({packed}, ''::bytea), ''::bytea) FROM ({query}) q"  # noqa: S608
    with connection.cursor() as cursor:
        cursor.execute(wanted, given)
        (found,) = cursor.fetchone()
    row = np.dtype([(name, f">{kind}") for name, kind in kinds.items()])
    table = np.frombuffer(found, row)
    return {name: table[name].astype(kind) for name, kind in kinds.items()}


def rows_of(query: str, given: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    """The rows of a query, where there are few or they hold text."""
    with connection.cursor() as cursor:
        cursor.execute(query, given)
        return list(cursor.fetchall())
