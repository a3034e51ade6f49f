"""What is asked of whoever counts, and of whoever writes tyres off."""

from __future__ import annotations

from typing import Any

from django import forms

from inventory.ground.fields import one_line, some_words
from inventory.ground.idempotency import KeyedForm
from inventory.models.count import Count, CountState
from inventory.models.lot import Lot
from inventory.models.place import Site
from inventory.models.sku import Sku
from inventory.models.write_off import WriteOffReason, WriteOffState
from stockist.goods_in.fields import LotField, PlaceField, ScanField
from stockist.goods_in.scans import not_wanted, place_named, skus_named


class CountsForm(forms.Form):
    """Which counts are listed."""

    state = forms.ChoiceField(
        label="Where it stands", choices=(("", "any"), *CountState.choices), required=False
    )
    site = forms.ModelChoiceField(
        label="Site", queryset=Site.objects.order_by("code"), required=False, empty_label="any"
    )


class BeginForm(KeyedForm):
    """What is to be counted: a place, or a SKU at a site."""

    scan = ScanField(label="Place to count, or SKU")
    site = forms.ModelChoiceField(
        label="Of a SKU: at which site", queryset=Site.objects.order_by("code"), required=False
    )

    def clean(self) -> dict[str, Any]:
        said: dict[str, Any] = super().clean() or self.cleaned_data
        text = said.get("scan", "")
        place = place_named(text) if text else None
        skus: list[Sku] = skus_named(text) if text and place is None else []
        if text and place is None and not skus:
            self.add_error("scan", not_wanted(text, "the label of a place or of a SKU"))
        elif len(skus) > 1:
            codes = " or ".join(sku.code for sku in skus)
            self.add_error("scan", f"“{text}” stands for several: say which, {codes}.")
        elif skus and not said.get("site"):
            self.add_error("site", "A SKU is counted at one site: say which.")
        return {**said, "place": place, "sku": skus[0] if len(skus) == 1 else None}

    def values(self) -> dict[str, Any]:
        """As the activity takes them."""
        return {name: self.cleaned_data[name] for name in ("place", "sku", "site")}


class EnterForm(KeyedForm):
    """One scan: a lot, and how many of it, one unless told."""

    place = PlaceField(label="Place")
    lot = LotField(label="Lot")
    quantity = forms.IntegerField(label="How many more", min_value=0, max_value=1000, initial=1)

    def __init__(self, *args: Any, count: Count, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if count.place_id:
            del self.fields["place"]
            lots = Lot.objects.filter(balances__place=count.place, balances__on_hand__gt=0)
            self.fields["lot"].lots = lots  # type: ignore[attr-defined]
        for name in ("place", "lot"):
            if name in self.fields:
                self.fields[name].widget.attrs["data-wanted"] = True


class GiveUpForm(KeyedForm):
    """Why a count is given up."""

    why = forms.CharField(label="Why", max_length=240, validators=[one_line])


class PostForm(KeyedForm):
    """Passed by another person; by the same one only openly, in a small team."""

    alone = forms.BooleanField(
        label="I counted it myself, and there is nobody else", required=False
    )


class WriteOffsForm(forms.Form):
    """Which write-offs are listed."""

    state = forms.ChoiceField(
        label="Where it stands", choices=(("", "any"), *WriteOffState.choices), required=False
    )
    reason = forms.ChoiceField(
        label="Reason", choices=(("", "any"), *WriteOffReason.choices), required=False
    )


class WriteOffForm(KeyedForm):
    """What is written off, and why."""

    lot = LotField(label="Lot")
    place = PlaceField(label="Place")
    quantity = forms.IntegerField(label="How many", min_value=1, max_value=1000)
    reason = forms.ChoiceField(label="Reason", choices=WriteOffReason.choices)
    why = forms.CharField(
        label="What happened", max_length=500, required=False, validators=[some_words]
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("lot", "place", "quantity"):
            self.fields[name].widget.attrs["data-wanted"] = True


class PassForm(KeyedForm):
    """Passed by another person; by the same one only openly, in a small team."""

    alone = forms.BooleanField(
        label="I asked for it myself, and there is nobody else", required=False
    )


class RefuseForm(KeyedForm):
    """Why the tyres stay in the books."""

    answer = forms.CharField(label="Why not", max_length=500, validators=[some_words])
