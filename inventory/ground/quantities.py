"""Numbers with a unit at the edge: "98 mph" or 158 in, a number in the house's own unit stored.

The reading itself, and the one unit registry, is in `inventory.markings`; the field is given the
function that reads, such as `to_kmh`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from rest_framework import serializers

Read = Callable[[Any], float]


class QuantityField(serializers.Field[float, Any, float, Any]):
    """A measured value over the API: a number in `unit`, or a text that names its unit.

    `read` turns either into a number in `unit` and raises ValueError with a sentence.
    """

    def __init__(
        self,
        *,
        read: Read,
        unit: str,
        lowest: float | None = None,
        highest: float | None = None,
        **kwargs: Any,
    ) -> None:
        self.read, self.unit = read, unit
        self.lowest, self.highest = lowest, highest
        super().__init__(**kwargs)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, (int, float, str)):
            raise serializers.ValidationError(
                f"This is not a measurement: write a number in {self.unit}, or one with its unit.",
                code="not_a_measurement",
            )
        return _within(self, data, serializers.ValidationError)

    def to_representation(self, value: Any) -> Any:
        return value


class QuantityFormField(forms.CharField):
    """A measured value on a page: "98 mph", "158 km/h", or a number in `unit`."""

    def __init__(
        self,
        *,
        read: Read,
        unit: str,
        lowest: float | None = None,
        highest: float | None = None,
        **kwargs: Any,
    ) -> None:
        self.read, self.unit = read, unit
        self.lowest, self.highest = lowest, highest
        super().__init__(max_length=40, **kwargs)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        return None if text in self.empty_values else _within(self, text, forms.ValidationError)

    def run_validators(self, value: Any) -> None:
        """The length is checked while reading; what comes out is a number."""

    def clean(self, value: Any) -> Any:
        if len(str(value or "")) > (self.max_length or 40):
            raise forms.ValidationError(f"This is too long to be a measurement in {self.unit}.")
        return super().clean(value)


def _within(
    field: QuantityField | QuantityFormField, data: Any, failure: Callable[..., Exception]
) -> float:
    try:
        value = field.read(data)
    except ValueError as error:
        raise failure(str(error), code="not_a_measurement") from error
    low = field.lowest is not None and value < field.lowest
    high = field.highest is not None and value > field.highest
    if low or high:
        limit = f"below {field.lowest:g}" if low else f"above {field.highest:g}"
        raise failure(f"{value:g} {field.unit} is {limit} {field.unit}.", code="out_of_range")
    return value
