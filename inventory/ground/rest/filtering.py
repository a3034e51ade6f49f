"""Filters of a list: declared, documented, and strict; a filter that is not there is refused."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches
from typing import Any

import django_filters as filters
from django import forms
from django.db.models import Model, Q, QuerySet
from django_filters.rest_framework import DjangoFilterBackend, FilterSet
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request

from inventory.ground.quantities import QuantityFormField, Read
from inventory.ground.rest.ordering import PARAMETER

# What every list takes besides its own filters.
BESIDES = frozenset({"cursor", "page_size", PARAMETER})
LONGEST_SEARCH = 200
LONGEST_TEXT = 100


class StrictFilters(DjangoFilterBackend):
    """django-filter for lists; a parameter that is not known, or stands twice, is refused.

    A slip in a filter's name would otherwise answer with everything, as if nothing were wrong.
    """

    def filter_queryset(self, request: Any, queryset: QuerySet[Any], view: Any) -> QuerySet[Any]:
        if view.action != "list":
            return queryset
        filterset = self.get_filterset_class(view, queryset)
        names = set(filterset.base_filters) if filterset else set()
        refuse_unknown(request, names | BESIDES)
        return super().filter_queryset(request, queryset, view)


def refuse_unknown(request: Request, known: set[str] | frozenset[str]) -> None:
    """Raise ValidationError with a sentence for each parameter that means nothing here."""
    wrong: dict[str, str] = {}
    for name, values in request.query_params.lists():
        if name not in known:
            wrong[name] = _not_known(name, known)
        elif len(values) > 1:
            wrong[name] = f"“{name}” stands {len(values)} times: say it once."
    if wrong:
        raise ValidationError(wrong)


def _not_known(name: str, known: set[str] | frozenset[str]) -> str:
    near = get_close_matches(name[:60], known, n=1)
    told = f"Did you mean “{near[0]}”?" if near else f"There are: {', '.join(sorted(known))}."
    return f"There is no filter “{name[:60]}” here. {told}"


class IsoDateFilter(filters.DateFilter):
    """A day written as 2026-03-01, and in no other way."""

    field_class = forms.DateField

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        sentence = "Write a day as year-month-day, such as 2026-03-01."
        super().__init__(
            *args, input_formats=["%Y-%m-%d"], error_messages={"invalid": sentence}, **kwargs
        )


class RowFilter(filters.ModelChoiceFilter):
    """A row of another model by its number; one that is not there is said so."""

    def __init__(self, model: type[Model], **kwargs: Any) -> None:
        sentence = f"There is no {model._meta.verbose_name} of this number."
        super().__init__(
            queryset=model._default_manager.only("pk"),
            error_messages={"invalid_choice": sentence},
            **kwargs,
        )


class ReadFormField(forms.CharField):
    """Text that `read` turns into what is looked for, or refuses by ValueError with a sentence."""

    def __init__(self, *, read: Callable[[str], Any], **kwargs: Any) -> None:
        self.read = read
        super().__init__(max_length=LONGEST_TEXT, **kwargs)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        try:
            return self.read(text) if text else None
        except ValueError as error:
            raise forms.ValidationError(str(error), code="unreadable") from error


class ReadFilter(filters.Filter):
    """Text as people write it, read before it is looked for."""

    field_class = ReadFormField

    def __init__(self, *args: Any, read: Callable[[str], Any], **kwargs: Any) -> None:
        super().__init__(*args, read=read, **kwargs)


class MeasuredFilter(filters.Filter):
    """A measured value: a number in the unit of the column, or one that names its own unit."""

    field_class = QuantityFormField

    def __init__(self, *args: Any, read: Read, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, read=read, unit=unit, **kwargs)


class WordsFilter(filters.CharFilter):
    """Free text: each of its words stands in one of these columns, whatever the capitals."""

    def __init__(self, *columns: str, **kwargs: Any) -> None:
        self.columns = columns
        super().__init__(max_length=LONGEST_SEARCH, **kwargs)

    def filter(self, queryset: QuerySet[Any], value: str) -> QuerySet[Any]:
        for word in (value or "").split():
            found = Q()
            for column in self.columns:
                found |= Q(**{f"{column}__icontains": word})
            queryset = queryset.filter(found)
        return queryset


__all__ = [
    "FilterSet",
    "IsoDateFilter",
    "MeasuredFilter",
    "ReadFilter",
    "RowFilter",
    "StrictFilters",
    "WordsFilter",
    "filters",
    "refuse_unknown",
]
