"""What is said of a promise: for whom, until when, on what terms."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from inventory.activities.ordering import Deposit, Holding
from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.preorder import IfShort
from stockist.goods_in.fields import PLAIN, SkuField
from stockist.inputs import day_input
from stockist.selling.whom import NEW

_HIDDEN = ("asked", "offer", "shown", "car", "hold", "quote", "who")
HOLDING = (
    (Holding.ALL, "all of it is held, or nothing is taken"),
    (Holding.SOME, "what there is is held"),
    (Holding.NOTHING, "nothing is held yet"),
)


def line(label: str, most: int, **options: Any) -> forms.CharField:
    """One line of text that may be left out."""
    return forms.CharField(
        label=label, max_length=most, required=False, validators=[one_line], **options
    )


def words(label: str, most: int = 500) -> forms.CharField:
    """A few sentences that may be left out."""
    return forms.CharField(
        label=label, max_length=most, required=False, validators=[some_words],
        widget=forms.Textarea({"rows": 2}),
    )  # fmt: skip


def hidden(most: int) -> forms.CharField:
    """What a form carries from the answer it is about."""
    return forms.CharField(max_length=most, required=False, widget=forms.HiddenInput)


class WhoForm(KeyedForm):
    """Who is meant: a name, or one of those that may be meant by it."""

    who = line("Who is meant", 20, widget=forms.HiddenInput())
    name = line("Customer", 120)
    telephone = line("telephone, if new", 40)
    email = forms.EmailField(label="e-mail, if new", required=False)

    def let_choose(self, among: Any, *, reached: bool = True) -> None:
        """Ask which of several is meant; how each is ``reached`` tells them apart."""
        choices = [(str(one.pk), _called(one, reached=reached)) for one in among]
        self.fields["who"] = forms.ChoiceField(
            label="Who is meant", choices=[*choices, (NEW, "somebody new of this name")],
            required=False, widget=forms.RadioSelect,
        )  # fmt: skip

        # What was read of the hidden field is forgotten.
        cache: dict[str, Any] = getattr(self, "_bound_fields_cache", {})
        cache.pop("who", None)

    def values(self, *names: str) -> dict[str, Any]:
        """What is said of these."""
        return {name: self.cleaned_data[name] for name in names}


def _called(customer: Any, *, reached: bool) -> str:
    told = (customer.telephone, customer.email) if reached else (f"customer {customer.pk}",)
    more = ", ".join(one for one in told if one)
    return f"{customer.name} ({more})" if more else customer.name


class WhomForm(WhoForm):
    """For whom it is, and the answer that it is about."""

    asked = hidden(2000)
    offer = hidden(400)
    shown = hidden(1000)
    car = forms.IntegerField(required=False, widget=forms.HiddenInput)


class SetForm(WhomForm):
    """How many sets, by the lots that were shown."""

    sets = forms.IntegerField(label="Sets", initial=1, required=False)
    pinned = forms.BooleanField(label="the week is promised", required=False)
    other_choice = forms.BooleanField(
        label="another choice will do, if these lots have gone", required=False
    )


class HoldForm(SetForm):
    """Until when it is held, and why."""

    until = forms.DateField(label="Until the end of", widget=day_input())
    why = line("Why", 240)


class QuoteForm(WhomForm):
    """Until when it is offered."""

    sets = forms.IntegerField(label="Sets", initial=1, required=False)
    good_until = forms.DateField(label="Good until", widget=day_input())
    note = words("Note on the quote")


class HeadForm(KeyedForm):
    """The head of an order; a deposit is noted, not handled."""

    reference = line("Customer's reference", 60)
    wanted_on = forms.DateField(label="Wanted on", required=False, widget=day_input())
    deliver_to = words("Deliver to")
    note = words("Note")
    deposit = forms.DecimalField(
        label="Deposit noted", min_value=Decimal("0.01"), max_digits=9, decimal_places=2,
        required=False,
    )  # fmt: skip
    deposit_currency = line("its currency", 3, initial="GBP")
    deposit_reference = line("its reference", 60)

    HEAD = ("reference", "wanted_on", "deliver_to", "note")

    def head(self) -> dict[str, Any]:
        """As the activity takes it."""
        said = self.cleaned_data
        told = {name: said[name] for name in self.HEAD}
        if said["deposit"] is None:
            return told | {"deposit": None}
        noted = Deposit(said["deposit"], said["deposit_currency"], said["deposit_reference"])
        return told | {"deposit": noted}


class OrderForm(SetForm, HeadForm):
    """An order: a set, pieces, what is held or was quoted."""

    hold = forms.IntegerField(required=False, widget=forms.HiddenInput)
    quote = forms.IntegerField(required=False, widget=forms.HiddenInput)
    sku = SkuField(label="Pieces beside, or alone: SKU or GTIN", required=False)
    quantity = forms.IntegerField(label="how many of it", required=False)
    holding = forms.ChoiceField(label="As it is taken", choices=HOLDING, required=False)
    knowing = forms.BooleanField(
        label="the customer was told of what is not approved any more", required=False
    )

    field_order = (
        *("name", "telephone", "email", "sets", "sku", "quantity", "wanted_on", "deliver_to"),
        *("reference", "note", "deposit", "deposit_currency", "deposit_reference", "holding"),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        given = self.data if self.is_bound else self.initial
        promised = given.get("hold") or given.get("quote")
        if promised:  # for whom it is, and which tyres, was settled then
            for name in ("telephone", "email"):
                del self.fields[name]
        if not given.get("asked"):
            for name in ("other_choice", *(() if given.get("quote") else ("sets",))):
                del self.fields[name]


class AddSetForm(SetForm):
    """A set beside what is ordered: for whom was settled with the order."""

    holding = forms.ChoiceField(label="As it is taken", choices=HOLDING, required=False)
    knowing = forms.BooleanField(
        label="the customer was told of what is not approved any more", required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("car", "who", "name", "telephone", "email"):
            del self.fields[name]


class QueueForm(WhomForm):
    """For which day, and what is wanted where the batch is short."""

    promised_on = forms.DateField(label="Promised for", widget=day_input())
    if_short = forms.ChoiceField(label="If the batch is short", choices=IfShort.choices)
    note = words("Note")


class WhyForm(KeyedForm):
    """A reason for what is given up."""

    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class ExtendForm(KeyedForm):
    """A later day, and why."""

    until = forms.DateField(label="Until the end of", widget=day_input())
    why = forms.CharField(label="Why longer", max_length=240, validators=[one_line])


class PiecesForm(KeyedForm):
    """Pieces beside what is ordered."""

    sku = SkuField(label="SKU or GTIN")
    quantity = forms.IntegerField(label="How many")
    holding = forms.ChoiceField(label="As they are taken", choices=HOLDING, required=False)


class LineForm(KeyedForm):
    """How many of a line are wanted now."""

    quantity = forms.IntegerField(label="How many are wanted now")


class ListForm(forms.Form):
    """Which rows are listed, and in what order."""

    customer = forms.IntegerField(required=False, widget=forms.HiddenInput)
    q = line("Number, customer or what it is", 100)
    state = forms.ChoiceField(label="Where it stands", required=False)
    order = forms.ChoiceField(label="Order", required=False)

    def __init__(self, *args: Any, states: Any, orders: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (("state", states), ("order", orders)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101
            field.choices = list(choices)
        self.fields["q"].widget.attrs |= PLAIN
