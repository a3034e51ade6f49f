"""Lists on pages: newest first, a page at a time, by the number of the last row shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, QueryDict

ON_A_PAGE = 25
_BEFORE = "before"
_LARGEST = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Listing:
    """The rows of one page, and the address of the next, "" where there is none."""

    rows: list[Any]
    more: str


def newest_first(request: HttpRequest, rows: QuerySet[Any], size: int = ON_A_PAGE) -> Listing:
    """One page of rows, the newest first; ``?before=`` is the last one of the page before."""
    before = request.GET.get(_BEFORE, "")
    if before.isascii() and before.isdecimal() and int(before) <= _LARGEST:
        rows = rows.filter(pk__lt=int(before))
    found = list(rows.order_by("-pk")[: size + 1])
    more = ""
    if len(found) > size:
        asked: QueryDict = request.GET.copy()
        asked[_BEFORE] = str(found[size - 1].pk)
        more = f"?{asked.urlencode()}"
    return Listing(found[:size], more)
