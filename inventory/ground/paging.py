"""Pages of the API: by cursor, so that rows added meanwhile neither repeat nor hide others.

A cursor says beyond which row to go on, by every value that rows are ordered by. An order that a
view offers ends with the primary key, so no two rows share a place; its columns are never null.
"""

from __future__ import annotations

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error as NotBase64
from collections.abc import Sequence
from typing import Any

from django.core.exceptions import ValidationError as Unfit
from django.db.models import Model, Q
from rest_framework.exceptions import NotFound, ValidationError
from rest_framework.pagination import CursorPagination
from rest_framework.request import Request
from rest_framework.utils.urls import replace_query_param


class CursorPages(CursorPagination):
    """Fifty rows a page, a hundred at most (`?page_size=`); newest first unless a view differs."""

    page_size = 50
    page_size_query_param = "page_size"
    page_size_query_description = "Rows on a page, 1 to 100"
    cursor_query_description = "Where to go on; take it from `next` or `previous`, never make it up"
    max_page_size = 100
    ordering: Any = "-pk"
    page: Any

    def get_page_size(self, request: Request) -> int:
        """The size asked for. Raises ValidationError, where DRF would take its own silently."""
        asked = request.query_params.get("page_size", str(self.page_size))
        if not (asked.isascii() and asked.isdigit() and 1 <= int(asked[:9]) <= self.max_page_size):
            words = f"A page has 1 to {self.max_page_size} rows."
            raise ValidationError({"page_size": words})
        return int(asked)

    def paginate_queryset(self, queryset: Any, request: Request, view: Any = None) -> Any:
        """The rows of the page that the cursor asks for. Raises NotFound, ValidationError."""
        self.request = request
        size = self.get_page_size(request)
        self.base_url: str = request.build_absolute_uri()
        self.ordering = self.get_ordering(request, queryset, view)
        place = _Place.of(request.query_params.get("cursor"), queryset.model, self.ordering)
        order = _reversed(self.ordering) if place.backwards else self.ordering
        rows = queryset.order_by(*order)
        if place.values:
            rows = rows.filter(_beyond(order, place.values))
        found = list(rows[: size + 1])
        more = len(found) > size
        self.page = found[:size][::-1] if place.backwards else found[:size]
        self.has_next = bool(self.page) and (place.backwards or more)
        self.has_previous = bool(self.page) and (more if place.backwards else bool(place.values))
        return self.page

    def get_next_link(self) -> str | None:
        return self._link(self.page[-1], backwards=False) if self.has_next else None

    def get_previous_link(self) -> str | None:
        return self._link(self.page[0], backwards=True) if self.has_previous else None

    def _link(self, row: Any, *, backwards: bool) -> str:
        values = [_value(row, name) for name in self.ordering]
        return cursor_link(self.base_url, values, backwards=backwards)


def cursor_link(address: str, values: Sequence[Any], *, backwards: bool) -> str:
    """The address of the page beyond the row that has these values, in the order asked for."""
    text = json.dumps([int(backwards), [str(value) for value in values]], separators=(",", ":"))
    cursor = urlsafe_b64encode(text.encode()).decode().rstrip("=")
    return replace_query_param(address, "cursor", cursor)


class _Place:
    """What a cursor says: the values of the row to go on from, and in which direction."""

    def __init__(self, backwards: bool, values: list[Any]) -> None:
        self.backwards, self.values = backwards, values

    @classmethod
    def of(cls, cursor: str | None, model: type[Model], ordering: Sequence[str]) -> _Place:
        if cursor is None:
            return cls(False, [])
        try:
            padded = cursor.encode("ascii") + b"=" * (-len(cursor) % 4)
            backwards, texts = json.loads(urlsafe_b64decode(padded).decode())
            fields = [_field(model, name) for name in ordering]
            values = [
                field.to_python(text) for field, text in zip(fields, texts, strict=True) if text
            ]
        except (ValueError, TypeError, NotBase64, Unfit, RecursionError) as error:
            words = "This is no cursor of this list: take it from `next` or `previous`."
            raise NotFound(words) from error
        return cls(bool(backwards), values)


def _beyond(order: Sequence[str], values: Sequence[Any]) -> Q:
    """What comes after a row: in the first column that differs, it is later."""
    beyond = Q()
    same = Q()
    for name, value in zip(order, values, strict=True):
        plain = name.lstrip("-")
        beyond |= same & Q(**{f"{plain}__{'lt' if name.startswith('-') else 'gt'}": value})
        same &= Q(**{plain: value})
    return beyond


def _reversed(ordering: Sequence[str]) -> list[str]:
    return [name[1:] if name.startswith("-") else f"-{name}" for name in ordering]


def _value(row: Any, name: str) -> Any:
    for step in name.lstrip("-").split("__"):
        row = getattr(row, step)
    return row


def _field(model: type[Model], name: str) -> Any:
    *steps, last = name.lstrip("-").split("__")
    for step in steps:
        model = model._meta.get_field(step).related_model  # type: ignore[assignment]
    return model._meta.pk if last == "pk" else model._meta.get_field(last)
