"""What people type to say which car of the list a customer's car is."""

from __future__ import annotations

from typing import Any

from django import forms

from fitments.lookup.span import UnreadableDay
from fitments.models.car import Variant
from inventory.ground.fields import one_line
from stockist.counter.search import Meaning, find

SHOWN = 6


class VariantField(forms.CharField):
    """A variant by its code, its name, or a chassis number; one that can only mean one car."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=120, validators=[one_line], **kwargs)

    def clean(self, value: Any) -> Variant | None:
        text = super().clean(value)
        if not text:
            return None
        by_code = Variant.objects.select_related("vehicle_line__maker").filter(code__iexact=text)
        exact = by_code.first()
        if exact is not None:
            return exact
        found = _cars(text)
        if len(found) == 1:
            return found[0]
        if not found:
            raise forms.ValidationError(f"No car in the list is called “{text}”.")
        names = ", ".join(f"{one} ({one.code})" for one in found[:SHOWN])
        more = " and others" if len(found) > SHOWN else ""
        raise forms.ValidationError(f"“{text}” may be {names}{more}: write the code of one.")

    def prepare_value(self, value: Any) -> Any:
        return value.code if isinstance(value, Variant) else value


def _cars(text: str) -> tuple[Variant, ...]:
    try:
        found = find(text)
    except UnreadableDay:
        return ()
    return found.variants if found.meaning is Meaning.CARS else ()
