"""What is said while picking: a scan, by hand, another lot, fewer found, parcels, reasons."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.fields import one_line
from inventory.ground.idempotency import KeyedForm
from inventory.models.pick import Confirmed, PickListState
from inventory.models.place import Place, PlaceKind
from inventory.models.sale import Order
from stockist.goods_in.fields import PlaceField, ScanField

UNDER_WAY = "under_way"


def why(label: str) -> forms.CharField:
    """A reason, in a line."""
    return forms.CharField(label=label, max_length=240, validators=[one_line])


class ListsForm(forms.Form):
    """Which pick lists are shown: those under way, unless another state is asked for."""

    state = forms.ChoiceField(
        label="Where it stands",
        choices=((UNDER_WAY, "under way"), ("any", "any"), *PickListState.choices),
        required=False,
    )
    q = forms.CharField(
        label="Order or customer", max_length=60, required=False, validators=[one_line]
    )


class MakeForm(KeyedForm):
    """Which order is to be picked, and where its tyres are gathered."""

    order = forms.ModelChoiceField(Order.objects.order_by("pk"))
    to_place = forms.ModelChoiceField(
        Place.objects.filter(kind=PlaceKind.DESPATCH).select_related("site").order_by("code")
    )


class ScanForm(KeyedForm):
    """What the scanner read, with the line that was shown."""

    scanned = ScanField(label="Scan the lot")
    line = forms.IntegerField(widget=forms.HiddenInput)


class HandForm(KeyedForm):
    """Taken without a scan; all of it, unless fewer are told."""

    quantity = forms.IntegerField(label="How many, if not all at once", required=False)


class OtherForm(KeyedForm):
    """Another lot is taken, for a reason."""

    lot = ScanField(label="Which lot is taken")
    place = PlaceField(label="From which place, if it lies in several", required=False)
    quantity = forms.IntegerField(label="How many, if not all of the line", required=False)
    why = forms.CharField(
        label="Why another", max_length=240, validators=[one_line], required=False
    )
    confirmed = forms.ChoiceField(
        choices=Confirmed.choices, initial=Confirmed.HAND, widget=forms.HiddenInput, required=False
    )


class ShortForm(KeyedForm):
    """Fewer are there than were asked for."""

    found = forms.IntegerField(label="How many are there", initial=0)
    why = why("What is the matter")


class PackForm(KeyedForm):
    """In how many parcels."""

    parcels = forms.IntegerField(label="Parcels", initial=1)


class WhyForm(KeyedForm):
    """A reason for what is given up."""

    why = why("Why")


class LeaveOutForm(WhyForm):
    """Which set is left out, and why."""

    hold = forms.IntegerField(widget=forms.HiddenInput)


class WordForm(KeyedForm):
    """The owner's word that it leaves against advice."""

    why = why("Why it leaves all the same")


class SendForm(KeyedForm):
    """Who takes it."""

    carrier = forms.CharField(
        label="Carrier", max_length=120, required=False, validators=[one_line]
    )


def said(form: forms.Form, *left_out: str) -> dict[str, Any]:
    """What a valid form says, without its key and what is left out."""
    gone = {"idempotency_key", *left_out}
    return {name: value for name, value in form.cleaned_data.items() if name not in gone}
