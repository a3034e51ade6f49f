"""Pages by cursor of rows that no table holds: as every list of the API has them."""

from __future__ import annotations

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error as NotBase64
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from rest_framework.exceptions import NotFound
from rest_framework.request import Request
from rest_framework.utils.urls import replace_query_param

from inventory.ground.paging import CursorPages

T = TypeVar("T")
Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RowsPage(Generic[T]):
    """One page; `next` and `previous` are addresses, None at either end."""

    next: str | None
    previous: str | None
    results: Sequence[T]


def page_of(
    rows: Sequence[T], key: Callable[[T], Key], request: Request, *, backwards: bool = False
) -> RowsPage[T]:
    """The page that the request asks for, by ``key``, which no two rows share.

    ``backwards`` turns the order round. Raises NotFound for what is no cursor of this list.
    """
    ordered = sorted(rows, key=key)
    keys = [key(one) for one in ordered]
    size = CursorPages().get_page_size(request)
    towards_first, last = _place(request.query_params.get("cursor"))
    low, high = 0, len(keys)
    falling = backwards != towards_first
    if last and falling:
        high = bisect_left(keys, last)
    elif last:
        low = bisect_right(keys, last)
    low, high = (max(low, high - size), high) if falling else (low, min(high, low + size))
    found = ordered[low:high][::-1] if backwards else ordered[low:high]
    before, after = (high < len(keys), low > 0) if backwards else (low > 0, high < len(keys))

    def link(row: T, to_first: bool) -> str:
        text = json.dumps([int(to_first), key(row)], separators=(",", ":"))
        cursor = urlsafe_b64encode(text.encode()).decode().rstrip("=")
        return replace_query_param(request.build_absolute_uri(), "cursor", cursor)

    return RowsPage(
        link(found[-1], False) if found and after else None,
        link(found[0], True) if found and before else None,
        found,
    )


def _place(cursor: str | None) -> tuple[bool, Key]:
    """In which direction to go on, and from the row of which key; none: from the beginning."""
    if cursor is None:
        return False, ()
    try:
        padded = cursor.encode("ascii") + b"=" * (-len(cursor) % 4)
        told: Any = json.loads(urlsafe_b64decode(padded).decode())
        to_first, values = told
        if not isinstance(values, list) or not values:
            raise ValueError(values)
        return bool(to_first), tuple(str(one) for one in values)
    except (ValueError, TypeError, NotBase64, RecursionError) as error:
        words = "This is no cursor of this list: take it from `next` or `previous`."
        raise NotFound(words) from error
