"""What is asked of whoever wants labels."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.db.models import Q

from inventory.documents.values import LabelSize
from inventory.models.lot import Lot
from inventory.models.place import Place, Site
from stockist.goods_in.fields import PLAIN, scanned_line
from stockist.goods_in.scans import lot_named, not_wanted, place_named

MOST_NAMED = 100
WHOLE = (("lots", "lots"), ("places", "places"))
EACH = (("tyre", "each tyre"), ("lot", "each lot, in each of its places"))


def lines_of(text: str) -> list[str]:
    """One scan a line; a separator within a scan is no end of a line."""
    return [line for line in (one.strip(" \t\r") for one in re.split(r"\n", text)) if line]


class LabelsForm(forms.Form):
    """Lots or places: scanned one a line, of a delivery, or of a whole site."""

    of = forms.ChoiceField(label="Labels of", choices=WHOLE)
    scans = forms.CharField(
        label="Which, one a line",
        required=False,
        max_length=20_000,
        widget=forms.Textarea({"rows": 4, **PLAIN, "data-scan": True}),
        help_text="Labels of lots or of places; of a place all that lies in it",
    )
    delivery = forms.CharField(
        label="Or all lots of a delivery", max_length=40, required=False,
        validators=[scanned_line], help_text="Such as D-00012", widget=forms.TextInput(PLAIN),
    )  # fmt: skip
    site = forms.ModelChoiceField(
        label="Or all places of a site", queryset=Site.objects.order_by("code"), required=False
    )
    each = forms.ChoiceField(label="One label for", choices=EACH)
    size = forms.ChoiceField(
        label="On labels of, mm", choices=[(one.value, one.value) for one in LabelSize]
    )

    def clean_scans(self) -> list[Lot | Place]:
        """The lots and places that were scanned; each line at fault is named."""
        lines = lines_of(self.cleaned_data["scans"])
        if len(lines) > MOST_NAMED:
            raise forms.ValidationError(f"{len(lines)} lines at once: {MOST_NAMED} are the most.")
        found: list[Lot | Place] = []
        for number, text in enumerate(lines, start=1):
            one = lot_named(text) or place_named(text)
            if one is None:
                words = not_wanted(text, "the label of a lot or a place")
                raise forms.ValidationError(f"Line {number}: {words}")
            found.append(one)
        return found

    def lots(self) -> Any:
        """The lots asked for, those of the places scanned among them."""
        said = self.cleaned_data
        wanted = Q(pk__in=[one.pk for one in said["scans"] if isinstance(one, Lot)])
        places = [one.pk for one in said["scans"] if isinstance(one, Place)]
        if places:
            lying = Lot.objects.filter(balances__place__in=places, balances__on_hand__gt=0)
            wanted |= Q(pk__in=lying.values("pk"))
        if said["delivery"]:
            wanted |= Q(delivery__iexact=said["delivery"].strip())
        return Lot.objects.filter(wanted).order_by("pk")

    def places(self) -> Any:
        """The places asked for."""
        said = self.cleaned_data
        wanted = Q(pk__in=[one.pk for one in said["scans"] if isinstance(one, Place)])
        if said["site"]:
            wanted |= Q(site=said["site"])
        return Place.objects.filter(wanted).order_by("site__code", "walk", "code")
