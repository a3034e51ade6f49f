"""What the buyer says of the season."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from inventory.ground.fields import one_line
from inventory.models.season import Category, Event
from stockist.reorder.forms import Answer

_DAY = {"type": "date"}


class MoneyForm(forms.Form):
    """How much there is to buy with, for trying out."""

    money = forms.DecimalField(
        label="Money to buy with", min_value=0, max_digits=11, decimal_places=2, required=False
    )

    def amount(self, otherwise: Decimal | None) -> Decimal | None:
        """The money asked about, else the season's own."""
        said = self.cleaned_data.get("money") if self.is_valid() else None
        return otherwise if said is None else said


class ChangeForm(Answer):
    """What will be otherwise next season, and why."""

    category = forms.ChoiceField(label="Tyres", choices=Category.choices)
    first_day = forms.DateField(label="From", widget=forms.DateInput(_DAY))
    last_day = forms.DateField(label="To", widget=forms.DateInput(_DAY))
    percent = forms.IntegerField(label="Per cent more, or fewer with a minus")
    event = forms.ModelChoiceField(
        label="Because of the event", queryset=Event.objects.none(), required=False,
        empty_label="none",
    )  # fmt: skip
    why = forms.CharField(label="Why", max_length=240, validators=[one_line])

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        events: Any = self.fields["event"]
        events.queryset = Event.objects.filter(last_day__gte=today).order_by("first_day", "pk")


class TakeBackForm(Answer):
    """Why a change is taken back."""

    why = forms.CharField(label="Why", max_length=240, validators=[one_line])
