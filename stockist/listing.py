"""Lists on pages: newest first by the last row shown, or in the order that was asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.core.paginator import Page, Paginator
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


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table: words, with the sign and the class that repeats it in colour."""

    words: str
    sign: str = ""
    tone: str = ""
    number: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its name, where that leads ("" for nowhere), and its cells."""

    name: str
    address: str
    cells: tuple[Cell, ...]
    heads: Sequence[str] = ()

    @property
    def under(self) -> list[tuple[str, Cell]]:
        """The cells, each with the heading that it stands under."""
        return list(zip(self.heads, self.cells, strict=True))


@dataclass(frozen=True, slots=True)
class Table:
    """A page of rows under their headings; ``asked`` is the question without its page."""

    heads: Sequence[str]
    rows: list[Row]
    shown: Page[Any]
    asked: str


def table(
    request: HttpRequest,
    rows: QuerySet[Any],
    heads: Sequence[str],
    said: Callable[[Any], Row],
    size: int = ON_A_PAGE,
) -> Table:
    """One page of rows in their order, each told by ``said``."""
    shown = Paginator(rows, size).get_page(request.GET.get("page"))
    asked: QueryDict = request.GET.copy()
    asked.pop("page", None)
    told = [replace(said(one), heads=heads[1:]) for one in shown]
    return Table(heads, told, shown, asked.urlencode())
