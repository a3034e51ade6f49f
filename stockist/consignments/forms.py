"""What is asked of whoever takes goods on consignment, buys them in or gives them back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, ClassVar

from django import forms

from inventory.activities.consigning import Agreed, Consigned, Part
from inventory.ground.idempotency import KeyedForm
from inventory.models.balance import Balance
from inventory.models.lot import Condition
from inventory.models.supplier import Supplier
from stockist.goods_in.fields import PLAIN, LotField, PlaceField, SkuField
from stockist.goods_in.kinds import OfKinds
from stockist.inputs import day_input
from stockist.selling.forms import line, words

MOVED = (
    "Some of these tyres have been moved since this page was opened: look at where they lie now. "
    "Nothing was changed."
)
_CONDITIONS = [(value, name) for value, name in Condition.choices if value != Condition.BUFFED]
_SAID = ("supplier", "reference", "due_on", "currency", "note")


def money(label: str, **options: Any) -> forms.DecimalField:
    """An amount for one tyre."""
    return forms.DecimalField(label=label, max_digits=9, decimal_places=2, **options)


class TermsForm(OfKinds, KeyedForm):
    """Whose they are, on what paper, and until when."""

    wanted: ClassVar[tuple[str, ...]] = ()
    supplier = forms.ModelChoiceField(
        label="Consignor", queryset=Supplier.objects.order_by("name", "pk")
    )
    reference = line("Their paper", 60)
    due_on = forms.DateField(label="To be bought or given back by", widget=day_input())
    currency = forms.CharField(label="Currency of the prices", max_length=3, initial="GBP")
    note = words("Note")

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["due_on"].widget.attrs["min"] = today.isoformat()
        for name in ("supplier", "due_on", *self.wanted, *(f"{name}_1" for name in self.needs)):
            self.fields[name].widget.attrs["data-wanted"] = True

    def said(self) -> dict[str, Any]:
        """What is said of all of it."""
        return {name: self.cleaned_data[name] for name in _SAID}


class TakeForm(TermsForm):
    """Goods that come in now: which, how many, at what price, and where they are put."""

    wanted = ("place",)
    asks: ClassVar = {
        "sku": lambda tail: SkuField(label=f"SKU or GTIN{tail}"),
        "date_code": lambda tail: line(f"Date code{tail}", 40, widget=forms.TextInput(PLAIN)),
        "quantity": lambda tail: forms.IntegerField(label=f"How many{tail}"),
        "price": lambda tail: money(f"Agreed for one{tail}"),
        "condition": lambda tail: forms.ChoiceField(label=f"They are{tail}", choices=_CONDITIONS),
    }
    needs = {
        "sku": "Say of which SKU.",
        "quantity": "Say how many of them.",
        "price": "Say the price agreed for one.",
    }
    place = PlaceField(label="Place")
    they_fit = forms.BooleanField(label="They fit there, whatever the room says", required=False)

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        tyres = [
            Consigned(**{**one, "condition": one["condition"] or Condition.NEW})
            for one in self.kinds()
        ]
        where = {name: self.cleaned_data[name] for name in ("place", "they_fit")}
        return {**self.said(), **where, "tyres": tyres}


class AgreeForm(TermsForm):
    """Lots that lie here on consignment already, and the price agreed for one of each."""

    asks: ClassVar = {
        "lot": lambda tail: LotField(label=f"Lot{tail}"),
        "price": lambda tail: money(f"Agreed for one{tail}"),
    }
    needs = {"lot": "Say which lot.", "price": "Say the price agreed for one."}

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        return {**self.said(), "lots": [Agreed(**one) for one in self.kinds()]}


class PartsForm(KeyedForm):
    """How many of what lies where. Asked by lot and place, so that nothing goes unseen that was
    typed beside tyres which have been moved since."""

    def __init__(self, *args: Any, lies: Sequence[Balance], **kwargs: Any) -> None:
        # two such forms stand on one page
        kwargs["auto_id"] = f"{type(self).__name__}_%s"
        super().__init__(*args, **kwargs)
        self.lies = {f"of_{one.lot_id}_{one.place_id}": one for one in lies}
        for name, one in self.lies.items():
            self.fields[name] = forms.IntegerField(
                label=f"How many of lot {one.lot} in {one.place}, {one.place.site}",
                help_text=f"{one.on_hand} lie there: {one.lot.sku}", required=False,
            )  # fmt: skip
        self.order_fields([*KeyedForm.base_fields, *self.lies])

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        gone = {name for name in self.data if name.startswith("of_")} - self.lies.keys()
        if any(self.data.get(name) for name in gone):
            raise forms.ValidationError(MOVED)
        return said

    def parts(self) -> list[Part]:
        """What is asked for, as the activity takes it."""
        said = {name: self.cleaned_data[name] for name in self.lies}
        return [
            Part(self.lies[name].lot, self.lies[name].place, many)
            for name, many in said.items()
            if many is not None
        ]


class BuyInForm(PartsForm):
    """What becomes the house's."""

    unit_cost = money("At another price for one than was agreed", required=False)

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        return {"parts": self.parts(), "unit_cost": self.cleaned_data["unit_cost"]}


class GiveBackForm(PartsForm):
    """What leaves for the consignor."""

    note = words("Note")

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        return {"parts": self.parts(), "note": self.cleaned_data["note"]}
