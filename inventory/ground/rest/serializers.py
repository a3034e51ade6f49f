"""What all serializers of the API have in common: they describe and read, and never save."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.fields import empty
from rest_framework.validators import UniqueValidator

from inventory.ground.quantities import QuantityField


class Strict(serializers.Serializer[Any]):
    """Refuses a field that is not there, or that cannot be set: a slip would else go unnoticed."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            wrong = {name: [self._why_not(str(name))] for name in data if self._is_wrong(name)}
            if wrong:
                raise serializers.ValidationError(wrong)
        return super().to_internal_value(data)

    def _is_wrong(self, name: Any) -> bool:
        return name not in self.fields or self.fields[name].read_only

    def _why_not(self, name: str) -> str:
        if name in self.fields:
            return f"“{name}” follows from other things and cannot be set."
        known = ", ".join(sorted(each for each, f in self.fields.items() if not f.read_only))
        return f"There is no field “{name[:60]}” here. There are: {known}."


class Told(Strict, serializers.ModelSerializer[Any]):
    """A row of a model as the API tells it.

    What may stand in it is judged by the activity, in its own words and for the whole row; here
    only kinds of values are. So no query is made for a value that may be there only once.
    """

    def build_standard_field(self, field_name: str, model_field: Any) -> Any:
        kind, options = super().build_standard_field(field_name, model_field)
        told = [v for v in options.get("validators", ()) if not isinstance(v, UniqueValidator)]
        if "validators" in options:
            options["validators"] = told
        return kind, options

    def get_validators(self) -> list[Any]:
        return []


@extend_schema_field(
    {
        "oneOf": [{"type": "number", "minimum": 0}, {"type": "string", "maxLength": 40}],
        "description": "A number in the unit that the name ends with, or a text with its own unit",
    }
)
class MeasuredField(QuantityField):
    """A measured value with so many decimals, as a number; a text that names its unit is read."""

    def __init__(self, *, places: int = 0, **kwargs: Any) -> None:
        self.places = places
        super().__init__(**kwargs)

    def to_internal_value(self, data: Any) -> Any:
        value = round(super().to_internal_value(data), self.places)
        return Decimal(f"{value:.{self.places}f}") if self.places else int(value)

    def to_representation(self, value: Any) -> Any:
        return float(value) if self.places else int(value)


def given(serializer: serializers.BaseSerializer[Any]) -> dict[str, Any]:
    """What was sent, read. Raises ValidationError."""
    serializer.is_valid(raise_exception=True)
    values: dict[str, Any] = serializer.validated_data
    return {name: value for name, value in values.items() if value is not empty}
