"""What is asked of whoever takes a customer's tyres in, keeps them longer, or hands them back."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from inventory.activities.storing import Brought
from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.lot import Condition
from stockist.goods_in.fields import PLAIN, PlaceField, SkuField
from stockist.inputs import day_input
from stockist.selling.forms import WhoForm, line, words

KINDS = range(1, 5)
"""So many kinds of tyre are taken in by one form: two axles, and two spare."""
_OF_A_KIND = ("sku", "date_code", "quantity", "condition")


class TakeInForm(WhoForm):
    """Whose tyres, which, until when, and where they are put."""

    car = line("Off which car: its plate or name", 120)
    due_on = forms.DateField(label="Due back on", widget=day_input())
    place = PlaceField(label="Place")
    they_fit = forms.BooleanField(label="They fit, whatever the room says", required=False)
    note = words("Note")

    def __init__(self, *args: Any, today: date, may_enter: bool, **kwargs: Any) -> None:
        """``may_enter``: customers who are new are entered in the same step."""
        super().__init__(*args, **kwargs)
        if not may_enter:
            del self.fields["telephone"], self.fields["email"]
        self.fields["due_on"].widget.attrs["min"] = today.isoformat()
        for number in KINDS:
            self._tyre_fields(number)
        for name in ("name", "due_on", "place", "sku_1", "quantity_1"):
            self.fields[name].widget.attrs["data-wanted"] = True

    def _tyre_fields(self, number: int) -> None:
        first = number == 1
        tail = "" if first else f", kind {number}"
        self.fields[f"sku_{number}"] = SkuField(label=f"SKU or GTIN{tail}", required=first)
        self.fields[f"date_code_{number}"] = line(
            f"Date code{tail}", 40, widget=forms.TextInput(PLAIN)
        )
        self.fields[f"quantity_{number}"] = forms.IntegerField(
            label=f"How many{tail}", required=first
        )
        self.fields[f"condition_{number}"] = forms.ChoiceField(
            label=f"They are{tail}", choices=_conditions(), initial=Condition.FITTED,
            required=False,
        )  # fmt: skip

    def about(self) -> list[forms.BoundField]:
        """The fields that are not of a kind of tyre."""
        of_kinds = {f"{name}_{number}" for name in _OF_A_KIND for number in KINDS}
        return [field for field in self.visible_fields() if field.name not in of_kinds]

    def first(self) -> list[forms.BoundField]:
        """The fields of the first kind of tyre."""
        return [self[f"{name}_1"] for name in _OF_A_KIND]

    def further(self) -> list[forms.BoundField]:
        """The fields of the other kinds."""
        return [self[f"{name}_{number}"] for number in KINDS[1:] for name in _OF_A_KIND]

    def has_further(self) -> bool:
        """Whether something is said of another kind, so that it has to be seen."""
        return any(self[f"{name}_{n}"].value() for name in ("sku", "quantity") for n in KINDS[1:])

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        for number in KINDS[1:]:
            sku, many = said.get(f"sku_{number}"), said.get(f"quantity_{number}")
            if sku and many is None and f"quantity_{number}" not in self.errors:
                self.add_error(f"quantity_{number}", "Say how many of them.")
            if many is not None and not sku and f"sku_{number}" not in self.errors:
                self.add_error(f"sku_{number}", "Say of which SKU.")
        return said

    def tyres(self) -> list[Brought]:
        """What was brought, as the activity takes it."""
        said = self.cleaned_data
        return [
            Brought(said[f"sku_{n}"], said[f"quantity_{n}"], said[f"date_code_{n}"],
                    said[f"condition_{n}"] or Condition.FITTED)
            for n in KINDS
            if said[f"sku_{n}"]
        ]  # fmt: skip


class KeepLongerForm(KeyedForm):
    """A later day, and why."""

    due_on = forms.DateField(label="Keep them until", widget=day_input())
    why = forms.CharField(label="Why longer", max_length=240, validators=[one_line])


class HandBackForm(KeyedForm):
    """Who takes them away."""

    handed_to = forms.CharField(label="Handed to", max_length=120, validators=[one_line])


def _conditions() -> list[tuple[str, str]]:
    """All but buffed: how far is said when the tyre is worked on here."""
    return [(value, name) for value, name in Condition.choices if value != Condition.BUFFED]
