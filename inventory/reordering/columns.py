"""Whole columns out of the database: packed by the server, unpacked by numpy, no row in Python."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import nullcontext
from typing import Any

import numpy as np
import numpy.typing as npt
from django.db import connection, transaction

_WORK_MB = 128
"""Memory for one of the server's own steps; what it wants more of, it writes to its disk."""
Column = npt.NDArray[Any]
_SENT = {
    "i8": "int8send({}::bigint)",
    "i4": "int4send({}::integer)",
    "f8": "float8send({}::float8)",
}


def columns_of(
    query: str, given: Mapping[str, Any], kinds: Mapping[str, str], *, roomy: bool = False
) -> dict[str, Column]:
    """The columns of a query by name; ``kinds`` are ``i4``, ``i8`` or ``f8`` in its own order.

    None of them may be null. One query; the entries of all columns are in the same order, which is
    any. A column holds a thousand million bytes at the most. ``roomy``: for millions of rows the
    server is let have more memory, as long as the query lasts or the transaction around it.
    """
    packed = ", ".join(
        f"coalesce(string_agg({_SENT[kind].format(f'q.{name}')}, ''::bytea), ''::bytea)"
        for name, kind in kinds.items()
    )
    wanted = f"SELECT {packed} FROM ({query}) q"  # noqa: S608 - put together from constants
    with transaction.atomic() if roomy else nullcontext(), connection.cursor() as cursor:
        if roomy:
            cursor.execute(f"SET LOCAL work_mem = '{_WORK_MB}MB'")
        cursor.execute(wanted, given)
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
