"""The orders in which a list can be had: named by the view, each ending with the primary key."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from rest_framework.exceptions import ValidationError
from rest_framework.filters import BaseFilterBackend
from rest_framework.request import Request

PARAMETER = "ordering"


class Orderings(BaseFilterBackend):
    """`?ordering=code`, or `-code` for the other way round.

    A view's `orderings` goes from the word to the column, which is never null; the first is taken
    where none is asked for, the way `default_ordering` says it. Cursor pages ask for
    `get_ordering`; nothing is ordered here.
    """

    def filter_queryset(self, request: Request, queryset: QuerySet[Any], view: Any) -> Any:
        return queryset

    def get_ordering(self, request: Request, queryset: QuerySet[Any], view: Any) -> tuple[str, ...]:
        asked = request.query_params.get(PARAMETER, view.default_ordering)
        column = view.orderings.get(asked.removeprefix("-"))
        if column is None:
            known = ", ".join(words_of(view))
            raise ValidationError({PARAMETER: f"There is no such order. There are: {known}."})
        sign = "-" if asked.startswith("-") else ""
        return (f"{sign}{column}",) if column == "pk" else (f"{sign}{column}", f"{sign}pk")

    def get_schema_operation_parameters(self, view: Any) -> list[dict[str, Any]]:
        """For the description of the API."""
        return [
            {
                "name": PARAMETER,
                "in": "query",
                "required": False,
                "description": "The order of the rows; with “-” the other way round",
                "schema": {
                    "type": "string",
                    "enum": words_of(view),
                    "default": view.default_ordering,
                },
            }
        ]


def words_of(view: Any) -> list[str]:
    """Every order that can be asked for."""
    return [f"{sign}{word}" for word in view.orderings for sign in ("", "-")]
