"""What is asked of whoever takes a customer's tyres in, or hands them back."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms

from inventory.activities.storing import Brought
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.customer import Customer, CustomerCar
from inventory.models.lot import Condition
from stockist.goods_in.fields import PLAIN, PlaceField, SkuField

KINDS = 4
"""So many kinds of tyre are taken in by one form: two axles, and two spare."""
SHOWN = (("", "kept now"), ("overdue", "overdue"), ("ended", "handed back"), ("all", "all"))


class StoragesForm(forms.Form):
    """Which are listed."""

    shown = forms.ChoiceField(label="Which", choices=SHOWN, required=False)
    due_by = forms.DateField(
        label="Due by", required=False, widget=forms.DateInput({"type": "date"})
    )
    customer = forms.CharField(label="Customer's name", max_length=120, required=False)


class TakeInForm(KeyedForm):
    """Whose tyres, which, until when, and where they are put."""

    customer = forms.ModelChoiceField(
        label="Customer", queryset=Customer.objects.order_by("name", "pk")
    )
    car = forms.ModelChoiceField(
        label="Off which car",
        queryset=CustomerCar.objects.select_related("customer"),
        required=False,
    )
    due_on = forms.DateField(label="Due back on", widget=forms.DateInput({"type": "date"}))
    place = PlaceField(label="Place")
    note = forms.CharField(label="Note", max_length=500, required=False, validators=[some_words])

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["due_on"].widget.attrs["min"] = today.isoformat()
        self.fields["car"].label_from_instance = (  # type: ignore[attr-defined]
            lambda car: f"{car.customer}: {car}"
        )
        for number in range(1, KINDS + 1):
            self._tyre_fields(number)

    def _tyre_fields(self, number: int) -> None:
        first = number == 1
        tail = "" if first else f", kind {number}"
        self.fields[f"sku_{number}"] = SkuField(label=f"SKU or GTIN{tail}", required=first)
        self.fields[f"date_code_{number}"] = forms.CharField(
            label=f"Date code{tail}", max_length=40, required=False, validators=[one_line],
            widget=forms.TextInput(PLAIN),
        )  # fmt: skip
        self.fields[f"quantity_{number}"] = forms.IntegerField(
            label=f"How many{tail}", min_value=1, max_value=1000, required=first
        )
        self.fields[f"condition_{number}"] = forms.ChoiceField(
            label=f"They are{tail}", choices=_conditions(), initial=Condition.FITTED
        )

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        for number in range(2, KINDS + 1):
            sku, many = said.get(f"sku_{number}"), said.get(f"quantity_{number}")
            if sku and not many and f"quantity_{number}" not in self.errors:
                self.add_error(f"quantity_{number}", "Say how many of them.")
            if many and not sku and f"sku_{number}" not in self.errors:
                self.add_error(f"sku_{number}", "Say of which SKU.")
        return said

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        said = self.cleaned_data
        tyres = [
            Brought(said[f"sku_{n}"], said[f"quantity_{n}"], said[f"date_code_{n}"],
                    said[f"condition_{n}"])
            for n in range(1, KINDS + 1)
            if said[f"sku_{n}"]
        ]  # fmt: skip
        told = {name: said[name] for name in ("customer", "car", "due_on", "place", "note")}
        return {**told, "tyres": tyres}


class HandBackForm(KeyedForm):
    """Who takes them away."""

    handed_to = forms.CharField(label="Handed to", max_length=120, validators=[one_line])


def _conditions() -> list[tuple[str, str]]:
    """All but buffed: how far is said when the tyre is worked on here."""
    return [(value, name) for value, name in Condition.choices if value != Condition.BUFFED]
