"""Forms that ask the same of up to four kinds of tyre: the first is seen, the others folded."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from django import forms

KINDS = range(1, 5)
"""Two axles, and two spare."""


class OfKinds(forms.Form):
    """``asks`` is what is asked of each kind, as ``name_1`` to ``name_4``: the field by its name,
    made with what ends each label.

    ``needs`` are those that a kind has to have all of, each with what is said where it is missing.
    """

    asks: ClassVar[Mapping[str, Callable[[str], forms.Field]]]
    needs: ClassVar[dict[str, str]]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number in KINDS:
            tail = "" if number == 1 else f", kind {number}"
            for name, made in self.asks.items():
                field = made(tail)
                field.required = number == 1 and name in self.needs
                self.fields[f"{name}_{number}"] = field

    def about(self) -> list[forms.BoundField]:
        """The fields that are not of a kind of tyre."""
        of_kinds = {f"{name}_{number}" for name in self.asks for number in KINDS}
        return [field for field in self.visible_fields() if field.name not in of_kinds]

    def first(self) -> list[forms.BoundField]:
        """The fields of the first kind."""
        return [self[f"{name}_1"] for name in self.asks]

    def further(self) -> list[forms.BoundField]:
        """The fields of the other kinds."""
        return [self[f"{name}_{number}"] for number in KINDS[1:] for name in self.asks]

    def has_further(self) -> bool:
        """Whether something is said of another kind, so that it has to be seen."""
        return any(self[f"{name}_{n}"].value() for name in self.needs for n in KINDS[1:])

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        for number in KINDS[1:]:
            names = {name: f"{name}_{number}" for name in self.needs}
            given = [name for name in names.values() if said.get(name) not in (None, "")]
            for name, field in names.items():
                if given and field not in given and field not in self.errors:
                    self.add_error(field, self.needs[name])
        return said

    def kinds(self) -> list[dict[str, Any]]:
        """What is said of each kind that something is said of."""
        said, first = self.cleaned_data, next(iter(self.needs))
        return [
            {name: said[f"{name}_{number}"] for name in self.asks}
            for number in KINDS
            if said[f"{first}_{number}"]
        ]
