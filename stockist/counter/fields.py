"""What people type at the counter, field by field: a time, a rim, a size, a date code."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from fitments.lookup.span import Span, UnreadableDay, read_span
from inventory.markings import DateCode, Size, UnreadableMarking, read_date_code, read_size
from inventory.markings.rims import rim_from


class SpanField(forms.CharField):
    """When a car was built: a day, a month or a year."""

    def clean(self, value: Any) -> Span | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_span(text)
        except UnreadableDay as unreadable:
            raise forms.ValidationError(str(unreadable)) from unreadable


class RimField(forms.CharField):
    """A rim diameter as it is stamped: 15, 16.5, 380, or 580 beaded edge."""

    def clean(self, value: Any) -> tuple[int, str] | None:
        text = super().clean(value)
        if not text:
            return None
        mark, _, bead = text.partition(" ")
        try:
            rim = rim_from(mark, bead.strip().lower() or None)
        except ValueError as unreadable:
            raise forms.ValidationError(str(unreadable)) from unreadable
        return rim.diameter_mm, rim.bead


class SizeField(forms.CharField):
    """A size in any form; gives a ``Size``."""

    def clean(self, value: Any) -> Size | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_size(text)
        except UnreadableMarking as unreadable:
            raise forms.ValidationError(str(unreadable)) from unreadable


class DateCodeField(forms.CharField):
    """A date code; gives a ``DateCode``. The form that has it sets ``today``."""

    today: date = date.max

    def clean(self, value: Any) -> DateCode | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_date_code(text, self.today)
        except UnreadableMarking as unreadable:
            raise forms.ValidationError(str(unreadable)) from unreadable
